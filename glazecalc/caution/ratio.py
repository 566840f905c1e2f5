"""What published conventions call this glaze's silica to alumina ratio. They disagree, so all are shown."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import ClassVar

from glazecalc.caution.thresholds import cite
from glazecalc.convert.unity import UnityFormula
from glazecalc.display import Shown
from glazecalc.files.shipped import load_data, read_entry

__all__ = ("Band", "RatioConvention", "RatioReading", "ratio_conventions", "ratio_of", "ratio_readings")

_FILE = "glazecalc/data/ratio_conventions.yaml"
_SLACK = 1e-9  # a ratio of 12 must not miss the band that ends there by a rounding of the machine


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """A word for the ratios from `low` to `high`, both included, or for all `below` or `above` one."""

    word: str
    low: float | None = None
    high: float | None = None
    below: float | None = None
    above: float | None = None

    def holds(self, ratio: float) -> bool:
        """Return True where the ratio lies in the band."""
        if self.below is not None:
            return ratio < self.below - _SLACK
        if self.above is not None:
            return ratio > self.above + _SLACK
        return self.low is not None and self.high is not None and self.low - _SLACK <= ratio <= self.high + _SLACK

    def __str__(self) -> str:
        if self.below is not None:
            return f"{self.word} below {self.below:g}"
        if self.above is not None:
            return f"{self.word} above {self.above:g}"
        return f"{self.word} {self.low:g} to {self.high:g}"


@dataclass(frozen=True, slots=True, kw_only=True)
class RatioConvention:
    """Whose convention, what it stands for, and its bands."""

    who: str
    stands_for: str
    bands: tuple[Band, ...]
    source: str


@cache
def ratio_conventions() -> tuple[RatioConvention, ...]:
    """Return the published conventions, in the order of the data."""
    return tuple(
        read_entry(
            RatioConvention,
            entry,
            f"{_FILE}: {entry['who']}",
            bands=tuple(read_entry(Band, band, f"{_FILE}: {entry['who']}") for band in entry["bands"]),
            source=cite(entry),
        )
        for entry in load_data("ratio_conventions.yaml")["conventions"]
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class RatioReading(Shown):
    """One convention's word for a ratio.

    Attributes
    ----------
    who : str
        Whose convention.
    stands_for : str
        The cone or kind of glaze it was given for.
    ratio : float
        SiO2 : Al2O3 by moles, boron on its own.
    words : tuple of str
        What the convention calls it; two words on a boundary, none where it has no word for it.
    bands : tuple of str
        All bands of the convention, e.g. ``"satin 5 to 7"``.
    source : str
        Where it was read, with memory mark.
    """

    JSON: ClassVar[tuple[str, ...]] = ("who", "for=stands_for", "ratio", "words", "bands", "source")

    who: str
    stands_for: str
    ratio: float
    words: tuple[str, ...]
    bands: tuple[str, ...]
    source: str

    @property
    def text(self) -> str:
        """The reading in one line."""
        return f"{' or '.join(self.words) if self.words else 'no word for it'} ({self.who}; {self.stands_for})"


def ratio_of(unity: UnityFormula) -> float | None:
    """Return SiO2 : Al2O3 by moles with boron on its own, whatever the convention of `unity`; None without alumina."""
    moles = unity.moles or unity.amounts
    silica, alumina = moles.get("SiO2", 0.0), moles.get("Al2O3", 0.0)
    return silica / alumina if alumina > 0 else None


def ratio_readings(unity: UnityFormula) -> list[RatioReading]:
    """Return what each published convention calls the silica to alumina ratio of this glaze.

    Parameters
    ----------
    unity : UnityFormula
        By any convention; the ratio is taken with boron on its own, as the published bands are.

    Returns
    -------
    list of RatioReading
        One a convention, in the order of the data; empty where the glaze has no alumina.
    """
    ratio = ratio_of(unity)
    if ratio is None:
        return []
    return [
        RatioReading(
            who=convention.who,
            stands_for=convention.stands_for,
            ratio=ratio,
            words=tuple(band.word for band in convention.bands if band.holds(ratio)),
            bands=tuple(str(band) for band in convention.bands),
            source=convention.source,
        )
        for convention in ratio_conventions()
    ]
