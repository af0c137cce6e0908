"""Papers for the workshop and the owner: results and drawings set in type as PDF.

Imports the loom, drawings and the services' results; Typst is used here only.
Start reading in `pack` (which papers there are), then `typesetting`, then `templates/house.typ`.
"""
