"""The workshop: a local web site on the person's own machine, and its database.

Imports services, documents, drawings, the loom, and of storage only what makes a job of sheets.
Django lives here alone. Start reading in `urls` (every page), then `pages` (one module per page:
its record and its view) and `database` (the jobs' port on tables); `serving` starts it all.
"""
