"""Which class a piece falls in, and what a jurisdiction's sampling rule makes of the pieces that were measured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from glazecalc.lab.limits import NO_CLASS, ClassLine, SamplingRule, deep_by_nature, exact
from glazecalc.release import Ware

__all__ = ("AT", "CANNOT_SHOW", "OVER", "UNDER", "Judgement", "Reading", "Standing", "WareClass", "classify", "judge")

Standing = Literal["under", "at", "over", "cannot show"]
UNDER: Standing = "under"
AT: Standing = "at"
OVER: Standing = "over"
CANNOT_SHOW: Standing = "cannot show"


@dataclass(frozen=True, slots=True, kw_only=True)
class WareClass:
    """The class of a piece in one text.

    Attributes
    ----------
    name : str or None
        The class; None where it cannot be told.
    label : str
        The class in words.
    missing : str
        What would be needed to tell it; empty otherwise.
    assumed : str
        What was taken for granted; empty otherwise.
    """

    name: str | None
    label: str = ""
    missing: str = ""
    assumed: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """The amount of one element from one piece, in the unit of the limit; `value` is the bound where `below`."""

    piece: str
    value: Fraction
    below: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Judgement:
    """What a sampling rule makes of the readings.

    Attributes
    ----------
    measured : Fraction
        The number held against the limit: the mean, or the piece that decides.
    lowest : Fraction
        The same where values below detection count as nothing; differs from `measured` in a mean of both kinds only.
    below : bool
        True where `measured` is a bound of detection.
    standing : str
        under, at, over or cannot show.
    note : str
        What has to be said about the pieces.
    pieces, pieces_asked : int
        How many were measured, and how many the rule asks for.
    decides : str
        The piece that decides; empty for a mean.
    """

    measured: Fraction
    lowest: Fraction
    below: bool
    standing: Standing
    note: str = ""
    pieces: int = 0
    pieces_asked: int = 0
    decides: str = ""


def classify(lines: Sequence[ClassLine], ware: Ware) -> WareClass:
    """Return the class of a piece: that of the first line whose conditions all hold.

    Parameters
    ----------
    lines : sequence of ClassLine
    ware : Ware
        The piece.
    """
    assumed = ""
    for line in lines:
        if line.wares and ware.kind not in line.wares:
            continue
        if line.depth_mm is not None and ware.depth_mm is None:
            if ware.kind not in deep_by_nature():
                return WareClass(name=None, missing="the depth")
            assumed = f"taken as deeper than {line.depth_mm.figure:g} mm"
            continue
        if line.depth_mm is not None and ware.depth_mm is not None and not line.depth_mm.holds(ware.depth_mm):
            continue
        if line.volume_l is not None:
            if ware.volume_l is None:
                return WareClass(name=None, missing="the volume")
            if not line.volume_l.holds(ware.volume_l):
                continue
        return WareClass(name=None if line.name == NO_CLASS else line.name, label=line.label, assumed=assumed)
    return WareClass(name=None)


def judge(rule: SamplingRule, readings: Sequence[Reading], limit: Fraction) -> Judgement:
    """Hold readings against a limit by a sampling rule.

    Parameters
    ----------
    rule : SamplingRule
    readings : sequence of Reading
        At least one, in the unit of `limit`.
    limit : Fraction
        The limit.
    """
    if rule.kind == "mean":
        found = _mean(readings, limit)
    elif rule.kind == "each":
        found = _worst(readings, limit)
    else:
        found = _further_sample(rule, readings, limit)
    return replace(found, pieces=len(readings), pieces_asked=rule.pieces)


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
    if bounds == count:
        return Judgement(measured=high, lowest=Fraction(0), below=True, standing=_standing(high, True, limit))
    if not bounds:
        return Judgement(measured=high, lowest=high, below=False, standing=_standing(high, False, limit))
    standing = UNDER if high <= limit else OVER if low > limit else CANNOT_SHOW
    return Judgement(
        measured=high,
        lowest=low,
        below=False,
        standing=standing,
        note=f"{bounds} of {count} below detection, counted at their bound",
    )


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
        note = _join(f"{over} of {len(readings)} pieces over" if over else "", f"piece {decides.piece} decides")
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
    wanted = rule.further_pieces
    over_by = f"over by {_percent(found.measured / limit - 1)} %"
    if found.measured > ceiling:
        note = f"{over_by}, more than the half that a further sample may make good"
        return replace(found, standing=OVER, note=_join(found.note, note))
    worst = max((r for r in readings if not r.below), key=lambda r: r.value)
    others = [r for r in readings if r is not worst]
    if len(others) < wanted:
        note = f"{over_by}: the text then asks for at least {wanted} more like pieces, whose mean keeps the limit and none over by more than half"
        return replace(found, standing=OVER, note=_join(found.note, note))
    loose = [r for r in others if r.below and r.value > ceiling]
    if loose:
        note = f"{over_by}, and the bound of piece {loose[0].piece} leaves open whether it is over by more than half"
        return replace(found, standing=CANNOT_SHOW, note=_join(found.note, note))
    mean = _mean(others, limit)
    if mean.standing in (UNDER, AT):
        note = f"{over_by}, but the other {len(others)} pieces average {float(mean.measured):.3g} and none is over by more than half: within Article 2.5"
        return replace(found, standing=UNDER, note=_join(found.note, note))
    words = "average" if mean.standing == OVER else "cannot be shown to average under the limit; at most"
    note = f"{over_by}, and the other {len(others)} pieces {words} {float(mean.measured):.3g}"
    standing = OVER if mean.standing == OVER else CANNOT_SHOW
    return replace(found, standing=standing, note=_join(found.note, note))


def _percent(share: Fraction) -> str:
    return f"{float(100 * share):.3g}"


def _join(*parts: str) -> str:
    return "; ".join(part for part in parts if part)
