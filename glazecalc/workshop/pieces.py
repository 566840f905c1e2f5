"""How much dry glaze an order takes: from weighed test pieces, or from area and application."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from glazecalc.display import Shown
from glazecalc.errors import Notice, WorkshopError
from glazecalc.workshop.practice import choice, practice

__all__ = ("GlazeNeed", "need_from_area", "need_from_gains")


@dataclass(frozen=True, slots=True, kw_only=True)
class GlazeNeed(Shown):
    """Dry glaze for a number of pieces.

    Attributes
    ----------
    dry_g, low_g, high_g : float
        For all pieces, spare included [g]; low and high from the lightest and heaviest coat.
    per_piece_g : float
        Mean on one piece, without spare [g].
    reserve_l, reserve_g : float, float or None
        Slurry that never leaves the bucket [l], in which pieces are dipped; and the dry glaze in it [g], None until its gravity is known.
    """

    JSON: ClassVar[tuple[str, ...]] = (
        "count=pieces",
        "per_piece_g",
        "dry_g",
        "low_g",
        "high_g",
        "spare_percent",
        "reserve_l",
        "reserve_g",
    )
    pieces: int
    dry_g: float
    low_g: float
    high_g: float
    per_piece_g: float
    spare_percent: float
    reserve_l: float = 0.0
    reserve_g: float | None = None
    notices: tuple[Notice, ...] = ()


def need_from_gains(
    pieces: int, gains_g: Sequence[float], *, spare_percent: float = 0.0, reserve_l: float = 0.0
) -> GlazeNeed:
    """Return the dry glaze for an order from what test pieces gained when they were glazed: the surest way.

    Parameters
    ----------
    pieces : int
        How many pieces.
    gains_g : sequence of float
        Dry weight that each test piece gained [g].
    spare_percent : float
        On top for brush, bucket and sieve [%].
    reserve_l : float
        Slurry that never leaves the bucket, in which pieces are dipped [l]; `scale` needs a gravity for it.

    Returns
    -------
    GlazeNeed

    Raises
    ------
    WorkshopError
        For no pieces, no gain, or a spare below zero.

    Examples
    --------
    >>> import glazecalc as gc
    >>> round(gc.need_from_gains(60, [61, 66, 62], spare_percent=10).dry_g)
    4158
    """
    if not gains_g or any(not math.isfinite(g) or g <= 0 for g in gains_g):
        said = "a piece gains weight when it is glazed; weights above zero were expected."
        raise WorkshopError(said, "Weigh dry, before and after.")
    mean = math.fsum(gains_g) / len(gains_g)
    notices: tuple[Notice, ...] = ()
    if len(gains_g) < choice("few_pieces"):
        few = "one test piece says" if len(gains_g) == 1 else f"{len(gains_g)} test pieces say"
        notices = (Notice("few-pieces", f"{few} little about the spread; weigh ten."),)
    return _need(pieces, mean, min(gains_g), max(gains_g), spare_percent, reserve_l, notices)


def need_from_area(
    pieces: int,
    area_dm2: float,
    *,
    coat_g_per_dm2: float | None = None,
    spare_percent: float = 0.0,
    reserve_l: float = 0.0,
) -> GlazeNeed:
    """Return the dry glaze for an order from the glazed area of a piece.

    Parameters
    ----------
    pieces : int
        How many pieces.
    area_dm2 : float
        Glazed area of one piece [dm2].
    coat_g_per_dm2 : float, optional
        Your own dry coat [g/dm2]; left out, the typical range of the trade data is taken and said.
    spare_percent : float
        On top for brush, bucket and sieve [%].
    reserve_l : float
        Slurry that never leaves the bucket, in which pieces are dipped [l]; `scale` needs a gravity for it.

    Returns
    -------
    GlazeNeed

    Raises
    ------
    WorkshopError
        For no pieces, an area or a coat that is none, or a spare below zero.

    Examples
    --------
    >>> import glazecalc as gc
    >>> round(gc.need_from_area(85, 8.0, coat_g_per_dm2=6.5).dry_g)
    4420
    """
    if not (math.isfinite(area_dm2) and area_dm2 > 0):
        said = f"the area of a piece is {area_dm2:g} dm2; an area above zero was expected."
        raise WorkshopError(said, "Write it like 8dm2 or 800cm2.")
    notices: tuple[Notice, ...] = ()
    if coat_g_per_dm2 is None:
        data = practice("coat")
        (low, high), middle = data["range"], data["typical"]
        said = f"no measured coat was given; {middle:g} g/dm2 ({low:g} to {high:g}) is assumed: {data['note']}."
        notices = (Notice("typical-coat", said),)
    elif math.isfinite(coat_g_per_dm2) and coat_g_per_dm2 > 0:
        low = middle = high = coat_g_per_dm2
    else:
        said = f"a coat of {coat_g_per_dm2:g} g/dm2 was given; something above zero was expected."
        raise WorkshopError(said, "Write it like 6.5g/dm2.")
    return _need(pieces, middle * area_dm2, low * area_dm2, high * area_dm2, spare_percent, reserve_l, notices)


def _need(
    pieces: int, mean: float, low: float, high: float, spare: float, reserve_l: float, notices: tuple[Notice, ...]
) -> GlazeNeed:
    if pieces < 1:
        raise WorkshopError(f"{pieces} pieces were asked for; one or more was expected.")
    if not (math.isfinite(spare) and spare >= 0):
        said = f"a spare of {spare:g} % was asked for; zero or more was expected."
        raise WorkshopError(said, "Write it like --spare 10%.")
    if not (math.isfinite(reserve_l) and reserve_l >= 0):
        said = f"a reserve of {reserve_l:g} l was asked for; zero or more was expected."
        raise WorkshopError(said, "Write it like --spare 2l.")
    times = pieces * (1 + spare / 100)
    return GlazeNeed(
        pieces=pieces,
        dry_g=mean * times,
        low_g=low * times,
        high_g=high * times,
        per_piece_g=mean,
        spare_percent=spare,
        reserve_l=reserve_l,
        notices=notices,
    )
