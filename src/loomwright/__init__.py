"""Loomwright: finds the fault in old engine wiring, and helps to mend it.

Start reading in `loom` (what a loom and a job are), then `services` (one function
per thing a person does). `docs/` has the map of the rooms.
"""

__version__ = "0.1.0"
