"""Pictures (extra ``plot``): each function draws on axes and returns them; matplotlib is loaded when one is called.

Glazes are told apart by marker, line and hatching as well as by colour; labels say the unit, the line below a title how
things are counted.
"""

from __future__ import annotations

from glazecalc.arguments import checked
from glazecalc.plot import chemistry as _chemistry
from glazecalc.plot import melt as _melt

__all__ = (
    "contributions",
    "expansion",
    "oxides",
    "silica_alumina",
    "viscosity",
)

contributions = checked(_chemistry.contributions)
oxides = checked(_chemistry.oxides)
silica_alumina = checked(_chemistry.silica_alumina)
expansion = checked(_melt.expansion)
viscosity = checked(_melt.viscosity)
