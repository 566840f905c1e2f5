"""What a laboratory measured, in the unit of a limit, and as it is printed."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from fractions import Fraction
from itertools import combinations

from glazecalc.lab.rules import Judgement, Reading
from glazecalc.release import RELEASE_UNITS, ReleaseResult, Ware, convert

__all__ = ("measured_text", "readings_in", "rising_pieces")


def readings_in(results: Sequence[ReleaseResult], unit: str, ware: Ware) -> tuple[list[Reading], str]:
    """Return one reading a piece in `unit`, and how it was come by; no reading where a size is missing."""
    per = RELEASE_UNITS[unit][0]
    readings: list[Reading] = []
    converted = False
    for piece in dict.fromkeys(result.piece for result in results):
        # a result that needs no sizes comes first
        of = min((result for result in results if result.piece == piece), key=lambda result: result.per != per)
        value = convert(of.value, of.unit, unit, ware)
        if value is None:
            needed = {"volume": ware.volume_l, "area": ware.area_dm2}
            missing = [f"the {size}" for size in dict.fromkeys((of.per, per)) if size in needed and not needed[size]]
            return [], f"{' and '.join(missing)} of the ware would turn {of.unit} into {unit}"
        converted = converted or of.per != per
        readings.append(Reading(piece=piece, value=value, below=of.below))
    sizes = [f"{float(size):g} {name}" for size, name in ((ware.area_dm2, "dm2"), (ware.volume_l, "l")) if size]
    return readings, f"converted with {' and '.join(sizes)}" if converted else ""


def rising_pieces(results: Sequence[ReleaseResult]) -> dict[tuple[str, str], tuple[int, int]]:
    """Return element and piece -> an earlier and a later fill, where the later one surely released more."""
    alike: defaultdict[tuple[str, str, str], list[ReleaseResult]] = defaultdict(list)
    for result in sorted(results, key=lambda result: result.extraction):
        alike[result.element, result.piece, result.per].append(result)
    found: dict[tuple[str, str], tuple[int, int]] = {}
    for (element, piece, _), fills in alike.items():
        for early, late in combinations(fills, 2):
            more = late.value * RELEASE_UNITS[late.unit][1] > early.value * RELEASE_UNITS[early.unit][1]
            if more and not late.below and early.extraction < late.extraction:
                found.setdefault((element, piece), (early.extraction, late.extraction))
    return found


def measured_text(judged: Judgement, results: Sequence[ReleaseResult]) -> str:
    """Return what was held against a limit, with no more digits than the laboratory gave."""
    digits = min(_digits(result.text) for result in results if not judged.decides or result.piece == judged.decides)
    text = _printed(judged.measured, digits)
    if judged.below:
        return f"<{text}"
    return text if judged.lowest == judged.measured else f"{_printed(judged.lowest, digits)} to {text}"


def _digits(text: str) -> int:
    """Return the significant digits of a number as written."""
    mantissa = text.lstrip("<≤=+- ").replace(",", ".").lower().split("e")[0].replace(".", "").lstrip("0")
    return len(mantissa) or 1


def _printed(value: Fraction, digits: int) -> str:
    """Return a number to so many significant digits (two at least, then without a nought at the end), never with an exponent."""
    if value == 0:
        return "0"
    number = float(value)
    decimals = max(digits, 2) - 1 - math.floor(math.log10(abs(number)))
    text = f"{round(number, decimals):.{max(0, decimals)}f}"
    return text.rstrip("0").rstrip(".") if digits < 2 and "." in text else text
