"""Thirteen ordinary glazes, invented for the tests: one of each kind that a potter may lay before the program."""

from __future__ import annotations

import glazecalc as gc
from glazecalc.files.recipes import parse_recipe_text

__all__ = ("THIRTEEN", "thirteen")

THIRTEEN = {
    "clear": "Linnet Clear, cone 6 ox\nuse: bowl\nSoda feldspar 32\nWhiting 14\nColemanite 14\nKaolin 14\nSilica 26\n",
    "celadon": "Osier Celadon, cone 10 reduction\nuse: cup\nPotash feldspar 28\nWhiting 20\nKaolin 15\nSilica 37\n+ Red iron oxide 1.5\n",
    "tenmoku": "Rook Tenmoku, cone 10 reduction\nuse: bowl\nPotash feldspar 44\nWhiting 15\nKaolin 12\nSilica 29\n+ Red iron oxide 9\n",
    "chun": "Slow Rain Chun, cone 9 reduction\nuse: plate\nPotash feldspar 41\nSilica 29\nWhiting 18\nKaolin 3\nBone ash 3\nTalc 6\n+ Black iron oxide 0.8\n",
    "copper red": "Haw Red, cone 10 reduction\nuse: plate\nSoda feldspar 40\nWhiting 15\nSilica 26\nKaolin 5\nUnity frit, high boron 14\n+ Copper carbonate, basic 0.6\n+ Tin oxide 1.2\n",
    "shino": "Fold Shino, cone 10 reduction\nuse: cup\nNepheline syenite 45\nSpodumene 15\nSoda feldspar 10\nBall clay 17\nKaolin 5\nSoda ash 8\n",
    "manganese black": "Scoria Black, cone 6 ox\nuse: plate\nManganese dioxide 55\nPlastic clay, American 30\nBall clay 8\nBlack copper oxide 5\nBlack cobalt oxide 2\n",
    "petalite": "Thaw White, cone 8 ox\nuse: plate\nPetalite 55\nWhiting 14\nTalc 10\nKaolin 11\nSilica 10\n+ Zirconium silicate 8\n",
    "wood ash": "Hearth Ash, cone 10 reduction\nuse: pitcher\nWood ash, mixed 45\nPotash feldspar 30\nBall clay 25\n+ Red iron oxide 1\n",
    "majolica": "Gannet Majolica, cone 04 ox\nuse: plate\nUnity frit, lime-soda boron with alumina 70\nKaolin 15\nSilica 15\n+ Zirconium silicate 10\n+ Tin oxide 2\n",
    "lichen": "Weather Lichen, cone 6 ox\nuse: not-for-food\nNepheline syenite 45\nMagnesium carbonate, light 27\nBall clay 18\nZinc oxide 10\n+ Titanium dioxide 5\n",
    "zinc crystals": "Frost Crystalline, cone 10 ox\nuse: bowl\nUnity frit, soda 50\nZinc oxide 26\nSilica 22\nKaolin 2\n+ Titanium dioxide 5\n+ Manganese carbonate 1.5\n",
    "iron red": "Rowan Red, cone 6 ox\nPotash feldspar 45\nSilica 15\nTalc 15\nBone ash 12\nKaolin 5\nLithium carbonate 4\nBentonite, sodium 4\n+ Red iron oxide 11\n",
}


def thirteen(name: str) -> gc.Recipe:
    """Return one of them."""
    return parse_recipe_text(THIRTEEN[name])
