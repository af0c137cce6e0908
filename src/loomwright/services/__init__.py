"""One function per thing a person does, the same for commands, pages and tests.

Imports the loom, standards and the computing rooms; reaches the outside through `ports` only.
Start reading in `ports`, then `check`.
"""
