"""Pure formulas on numbers and arrays: conductors, coils, windings, thermistors, meters.

Imports numpy, `loom.errors` and, in single modules only, scipy; never a table or a loom record.
Start with `conductor.py`; take a module by name: `from loomwright.physics import conductor`.
"""

__all__ = [
    "ageing",
    "air",
    "apparent_temperature",
    "coil",
    "conductor",
    "convection",
    "crimp",
    "current_heating",
    "heat",
    "heat_course",
    "lay",
    "meter",
    "packing",
    "quantities",
    "retries",
    "same_rise",
    "separation",
    "strands",
    "thermistor",
    "thermistor_fit",
    "thermistor_table",
    "tolerance",
    "warming",
    "winding",
    "wrapping",
]
