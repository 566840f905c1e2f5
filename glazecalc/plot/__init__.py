"""Pictures (extra ``plot``): each function draws on axes and returns them; matplotlib is loaded when one is called.

Glazes are told apart by marker, line and hatching as well as by colour; labels say the unit, the line below a title how
things are counted.
"""

from __future__ import annotations

from glazecalc.arguments import checked
from glazecalc.plot import chemistry as _chemistry
from glazecalc.plot import doubt as _doubt
from glazecalc.plot import melt as _melt
from glazecalc.plot import tested as _tested
from glazecalc.plot import tiles as _tiles

__all__ = (
    "contributions",
    "expansion",
    "line_blend",
    "oxides",
    "release",
    "sensitivity",
    "silica_alumina",
    "spread",
    "triaxial",
    "viscosity",
)

contributions = checked(_chemistry.contributions)
oxides = checked(_chemistry.oxides)
silica_alumina = checked(_chemistry.silica_alumina)
expansion = checked(_melt.expansion)
viscosity = checked(_melt.viscosity)
line_blend = checked(_tiles.line_blend)
triaxial = checked(_tiles.triaxial)
sensitivity = checked(_doubt.sensitivity)
spread = checked(_doubt.spread)
release = checked(_tested.release)
