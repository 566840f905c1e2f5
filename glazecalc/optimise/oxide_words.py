"""What potters call the oxides: one table for reading a wish and for saying what is missing."""

from __future__ import annotations

__all__ = ("METAL_WORDS", "OXIDE_WORDS")

# the first word is the one used in sentences
OXIDE_WORDS: dict[str, tuple[str, ...]] = {
    "B2O3": ("boron", "boric oxide"), "Li2O": ("lithia",), "Na2O": ("soda",), "K2O": ("potash",),
    "K2O+Na2O": ("alkalis", "alkali"), "MgO": ("magnesia",), "CaO": ("lime", "calcia"), "SrO": ("strontia",),
    "BaO": ("baryta",), "ZnO": ("zinc",), "Al2O3": ("alumina",), "SiO2": ("silica",), "P2O5": ("phosphate",),
    "TiO2": ("titania",), "ZrO2": ("zirconia",),
}  # fmt: skip
# words that also begin the names of bags ("cobalt carbonate"), so that a wish is not read by them
METAL_WORDS: dict[str, str] = {
    "PbO": "lead", "SnO2": "tin", "Fe2O3": "iron", "FeO": "iron", "CoO": "cobalt", "CuO": "copper", "MnO": "manganese",
}  # fmt: skip
