"""Result records as SVG text, nothing else: plug faces, the loom's tree, the way of a circuit.

Imports the loom and the services' result records; computes nothing of the circuit and writes no
file. Start reading in `svg` (how elements become text), then `views` and `face`.
"""
