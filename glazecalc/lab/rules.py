"""Which class a piece falls in, and what a jurisdiction's sampling rule makes of the pieces that were measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from glazecalc.lab.limits import NO_CLASS, ClassLine, SamplingRule, deep_by_nature, exact
from glazecalc.release import EXTRACTIONS, Extraction, Ware

__all__ = (
    "AT",
    "CANNOT_SHOW",
    "OVER",
    "UNDER",
    "Judgement",
    "Reading",
    "Standing",
    "WareClass",
    "classify",
    "from_another_fill",
    "joined",
    "judge",
)

Standing = Literal["under", "at", "over", "cannot show"]
UNDER: Standing = "under"
AT: Standing = "at"
OVER: Standing = "over"
CANNOT_SHOW: Standing = "cannot show"


@dataclass(frozen=True, slots=True, kw_only=True)
class WareClass:
    """The class of a piece in one text."""

    name: str | None  # None where the text does not hold for it, or the class cannot be told
    label: str = ""  # the class in words
    missing: str = ""  # what would be needed to tell it
    assumed: str = ""  # what was taken for granted


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """The amount of one element from one piece, in the unit of the limit; `value` is the detection limit where `below`."""

    piece: str
    value: Fraction
    below: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """What a sampling rule makes of the readings."""

    measured: Fraction  # the number held against the limit: the mean, or the piece that decides
    lowest: Fraction  # the same where values below detection count as nothing
    below: bool  # True where `measured` is a detection limit
    standing: Standing
    note: str = ""  # what has to be said about the pieces
    pieces: int = 0
    pieces_asked: int = 0
    decides: str = ""  # the piece that decides; empty for a mean


def classify(lines: Sequence[ClassLine], ware: Ware) -> WareClass:
    """Return the class of a piece: that of the first line whose conditions all hold."""
    assumed = ""
    for line in lines:
        if line.wares and ware.kind not in line.wares:
            continue
        if line.depth_mm is not None:
            if ware.depth_mm is None and ware.kind not in deep_by_nature():
                return WareClass(name=None, missing="the depth")
            if ware.depth_mm is None:
                assumed = f"taken as deeper than {line.depth_mm.figure:g} mm"
            if ware.depth_mm is None or not line.depth_mm.holds(ware.depth_mm):
                continue
        if line.volume_l is not None:
            if ware.volume_l is None:
                return WareClass(name=None, missing="the volume")
            if not line.volume_l.holds(ware.volume_l):
                continue
        return WareClass(name=None if line.name == NO_CLASS else line.name, label=line.label, assumed=assumed)
    return WareClass(name=None)


def judge(rule: SamplingRule, readings: Sequence[Reading], limit: Fraction) -> Judgement:
    """Hold readings, one at least, against a limit in the same unit by a sampling rule."""
    if rule.kind == "mean":
        found = _mean(readings, limit)
    elif rule.kind == "each":
        found = _worst(readings, limit)
    else:
        found = _further_sample(rule, readings, limit)
    return replace(found, pieces=len(readings), pieces_asked=rule.pieces)


def from_another_fill(
    judged: Judgement, extraction: Extraction, asked: Extraction, *, rises: bool = False
) -> Judgement:
    """Return what a result of one extraction shows of a limit for another.

    Releases fall with each filling: an earlier one lies at or above the one that the text reads, a later one at or below it. What
    that leaves open cannot be shown. Where a piece of the same file released more on a later filling (`rises`), an earlier result
    says nothing of a later one.
    """
    if extraction == asked:
        return judged
    earlier = extraction < asked
    bears = judged.standing in (UNDER, AT) and not rises if earlier else judged.standing == OVER
    one, other = EXTRACTIONS[extraction], EXTRACTIONS[asked]
    said = f"a {one} extraction against a limit for the {other}"
    if bears:
        why = "the first release is as a rule the highest" if earlier else "an earlier one releases more as a rule"
        return replace(judged, note=joined(judged.note, f"{said}: {why}"))
    return replace(judged, standing=CANNOT_SHOW, note=joined(judged.note, f"{said}: ask for the {other}"))


def _standing(value: Fraction, below: bool, limit: Fraction) -> Standing:
    if below:
        return UNDER if value <= limit else CANNOT_SHOW
    if value == limit:
        return AT
    return UNDER if value < limit else OVER


def _mean(readings: Sequence[Reading], limit: Fraction) -> Judgement:
    count = len(readings)
    high = sum((r.value for r in readings), Fraction(0)) / count
    low = sum((r.value for r in readings if not r.below), Fraction(0)) / count
    bounds = sum(r.below for r in readings)
    if bounds in (0, count):
        below = bounds == count
        return Judgement(measured=high, lowest=low, below=below, standing=_standing(high, below, limit))
    standing = UNDER if high <= limit else OVER if low > limit else CANNOT_SHOW
    note = f"{bounds} of {count} below detection, counted at their detection limit"
    return Judgement(measured=high, lowest=low, below=False, standing=standing, note=note)


def _worst(readings: Sequence[Reading], limit: Fraction) -> Judgement:
    known = [r for r in readings if not r.below]
    top = max(known, key=lambda r: r.value, default=None)
    loosest = max((r for r in readings if r.below), key=lambda r: r.value, default=None)
    if top is not None and top.value > limit:
        decides = top
    elif loosest is not None and loosest.value > limit:
        decides = loosest
    else:
        decides = max(readings, key=lambda r: (r.value, not r.below))
    note = ""
    if len(readings) > 1:
        over = sum(1 for r in known if r.value > limit)
        note = joined(f"{over} of {len(readings)} pieces over" if over else "", f"piece {decides.piece} decides")
    lowest = decides.value if not decides.below else Fraction(0)
    standing = _standing(decides.value, decides.below, limit)
    return Judgement(
        measured=decides.value, lowest=lowest, below=decides.below, standing=standing, note=note, decides=decides.piece
    )


def _further_sample(rule: SamplingRule, readings: Sequence[Reading], limit: Fraction) -> Judgement:
    found = _worst(readings, limit)
    if found.standing != OVER:
        return found
    ceiling = limit * (1 + exact(rule.over_at_most))
    worst = max((r for r in readings if not r.below), key=lambda r: r.value)
    others = [r for r in readings if r is not worst]
    loose = [r for r in others if r.below and r.value > ceiling]
    standing = OVER
    if found.measured > ceiling:
        note = ", more than the half that a further sample may make good"
    elif len(others) < rule.further_pieces:
        note = f": the text then asks for at least {rule.further_pieces} more like pieces, whose mean keeps the limit and none over by more than half"
    elif loose:
        standing = CANNOT_SHOW
        note = f", and the detection limit of piece {loose[0].piece} leaves open whether it is over by more than half"
    else:
        mean = _mean(others, limit)
        standing = UNDER if mean.standing == AT else mean.standing
        average = f"{float(mean.measured):.3g}"
        if standing == UNDER:
            note = f", but the other {len(others)} pieces average {average} and none is over by more than half, as Article 2.5 asks"
        else:
            words = "average" if standing == OVER else "cannot be shown to average under the limit; at most"
            note = f", and the other {len(others)} pieces {words} {average}"
    over_by = f"over by {float(100 * (found.measured / limit - 1)):.3g} %"
    return replace(found, standing=standing, note=joined(found.note, over_by + note))


def joined(*parts: str) -> str:
    """Return what there is of these parts, in one line."""
    return "; ".join(part for part in parts if part)
