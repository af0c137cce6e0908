"""Lines and words as a DXF file in millimetres, a layer for each kind of thing.

DXF release R2010, read by plotters and drawing programs. The same lines give the same bytes: what
the library would write of time and chance is fixed.
"""

from __future__ import annotations

import io
from collections.abc import Iterable

from ezdxf import units
from ezdxf._options import options
from ezdxf.document import Drawing
from ezdxf.enums import TextEntityAlignment
from ezdxf.filemanagement import new

from loomwright.services.board_shapes import LAYERS, Line, Words


def dxf(shapes: Iterable[Line | Words]) -> bytes:
    """The content of a DXF file.

    Parameters
    ----------
    shapes : lines and words, in millimetres
    """
    fixed = options.write_fixed_meta_data_for_testing
    options.write_fixed_meta_data_for_testing = True
    try:
        return _written(_filled(shapes))
    finally:
        options.write_fixed_meta_data_for_testing = fixed


def _filled(shapes: Iterable[Line | Words]) -> Drawing:
    made = new("R2010", setup=False)
    made.units = units.MM
    for layer in LAYERS:
        made.layers.add(layer)
    space = made.modelspace()
    for shape in shapes:
        looks = {"layer": shape.layer}
        if isinstance(shape, Line):
            space.add_lwpolyline(shape.points, close=shape.closed, dxfattribs=looks)
        else:
            words = space.add_text(shape.text, height=shape.size, dxfattribs=looks)
            words.set_placement(shape.at, align=TextEntityAlignment.LEFT)
    return made


def _written(made: Drawing) -> bytes:
    text = io.StringIO()
    made.write(text)
    # Readers differ in which code page they take; an escaped letter is the same for all of them.
    return text.getvalue().encode("ascii", errors="dxfreplace")
