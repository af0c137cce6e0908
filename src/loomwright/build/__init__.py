"""New looms: lengths of wire, splices, bundles, the board, cutting, and the list that proves it.

Start reading in `tree` (places, branches and the way between two places).
"""
