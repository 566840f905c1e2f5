"""The published glazes that were fired, one by one: composition, firing, and what came of it as its source tells it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from glazecalc.convert.unity import MolePercent
from glazecalc.files.shipped import load_rows
from glazecalc.oxides import AXIS

__all__ = ("FiredGlaze", "fired_glazes")


@dataclass(frozen=True, slots=True, kw_only=True)
class FiredGlaze:
    """One published glaze and firing, a potter's observation; the words are those of ``data/fired_glazes.csv``.

    Attributes
    ----------
    temperature_c : float
        Where its cone bends, or as given [deg C].
    melt : str
        ``unmelted``, ``underfired``, ``mature`` or ``running``.
    moved : bool
        True where it moved or pooled a good deal.
    surface : str
        ``gloss``, ``satin``, ``matt``, ``dry`` or ``not_said``.
    """

    id: str
    source: str
    cone: str
    temperature_c: float
    melt: str
    moved: bool
    surface: str
    crazing: str
    crawling: bool
    mole_percent: MolePercent


@cache
def fired_glazes() -> tuple[FiredGlaze, ...]:
    """Return all of them, read once."""
    found = []
    for row in load_rows("fired_glazes.csv"):
        amounts = {oxide: float(row[oxide]) for oxide in AXIS if row.get(oxide)}
        total = sum(amounts.values())
        found.append(
            FiredGlaze(
                **{name: row[name] for name in ("id", "source", "cone", "melt", "surface", "crazing")},
                temperature_c=float(row["temperature_c"]),
                moved=row["moved"] == "yes",
                crawling=row["crawling"] == "yes",
                mole_percent=MolePercent({oxide: 100 * amount / total for oxide, amount in amounts.items()}),
            )
        )
    return tuple(found)
