"""The signs that the readings of coat and wear go by: codes of cautions with their words, and two numbers of their own."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal

from glazecalc.caution.thresholds import Threshold
from glazecalc.files.shipped import read_mapping
from glazecalc.readings.facts import Facts

__all__ = ("Points", "Sign", "looked_for", "met", "sign_threshold", "signs")

_FILE = "reading_signs.yaml"
Points = Literal["wear", "marks", "gas"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sign:
    """A caution that points to something, and its words in a short answer."""

    key: str  # the code of the caution
    points_to: Points
    says: str
    by_cone: bool = False  # true where it is only looked for at a known cone
    by_flux: bool = False  # true where it is only looked for while the unity formula holds


@cache
def signs() -> Mapping[str, Sign]:
    """Return the signs by the code of their caution."""
    return read_mapping(Sign, _FILE, "signs")


@cache
def _thresholds() -> Mapping[str, Threshold]:
    return read_mapping(Threshold, _FILE, "thresholds")


def sign_threshold(key: str) -> Threshold:
    """Return the threshold of this name; a KeyError is a slip in the program, not in the input."""
    return _thresholds()[key]


def looked_for(facts: Facts, *points_to: Points) -> tuple[Sign, ...]:
    """Return the signs of these kinds that could be looked for in a glaze."""
    holds = facts.formula.holds
    return tuple(
        sign
        for sign in signs().values()
        if sign.points_to in points_to and (facts.cone or not sign.by_cone) and (holds or not sign.by_flux)
    )


def met(facts: Facts, points_to: Points) -> tuple[Sign, ...]:
    """Return the signs of a kind that the glaze shows, in the order of the data."""
    codes = {caution.code for caution in facts.cautions}
    return tuple(sign for sign in looked_for(facts, points_to) if sign.key in codes)
