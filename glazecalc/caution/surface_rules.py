"""What food codes ask of a surface that food lies on, and how each kind of surface reads on it. One entry a kind in the data."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal

from glazecalc.caution.thresholds import Threshold
from glazecalc.files.shipped import read_list, read_mapping

__all__ = (
    "FoodCode",
    "SurfaceName",
    "SurfaceRule",
    "absorption_class",
    "absorption_limits",
    "food_codes",
    "surface_names",
    "surface_rules",
)

_FILE = "surface_rules.yaml"


@dataclass(frozen=True, slots=True, kw_only=True)
class FoodCode:
    """What a food code asks of a surface."""

    document: str
    asks: str  # its wording in short
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SurfaceRule:
    """How a kind of surface reads on the codes."""

    code: str  # of the caution, as its title
    title: str
    looks: str  # how it looks, in a few words
    words: tuple[str, ...]  # looked for in the name and notes of a recipe
    reading: str  # this program's reading of the codes
    conditions: tuple[str, ...]  # what would have to hold for it all the same
    settled_by: tuple[str, ...] = ()  # keys of the tests that settle it


@cache
def surface_rules() -> Mapping[str, SurfaceRule]:
    """Return the rules by kind of surface."""
    return read_mapping(SurfaceRule, _FILE, "surfaces")


@dataclass(frozen=True, slots=True, kw_only=True)
class SurfaceName:
    """What a glaze is called by, and what that says of its surface; no caution hangs on it."""

    words: tuple[str, ...]  # looked for in the title
    looks: str
    source: str


@cache
def surface_names() -> Mapping[str, SurfaceName]:
    """Return the names by their key."""
    return read_mapping(SurfaceName, _FILE, "names")


@cache
def food_codes() -> tuple[FoodCode, ...]:
    """Return the food codes, the first one quoted in messages."""
    return read_list(FoodCode, _FILE, "codes")


@cache
def absorption_limits() -> Mapping[str, Threshold]:
    """Return the bounds of the classes of bodies, and the absorption above which a word is due [wt %]."""
    return read_mapping(Threshold, _FILE, "absorption", unit="wt %")


def absorption_class(percent: float) -> Literal["vitreous", "semivitreous", "nonvitreous"]:
    """Return the class of a body by its absorption [wt %]."""
    limits = absorption_limits()
    if percent <= limits["vitreous_at_most"].value:
        return "vitreous"
    return "semivitreous" if percent <= limits["semivitreous_at_most"].value else "nonvitreous"
