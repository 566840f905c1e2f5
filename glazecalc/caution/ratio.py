"""What published conventions call this glaze's silica to alumina ratio. They disagree, so all are shown."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from glazecalc.caution.thresholds import cite
from glazecalc.convert.unity import UnityFormula
from glazecalc.files.shipped import load_data

__all__ = ("RatioReading", "ratio_of", "ratio_readings")


@dataclass(frozen=True, slots=True, kw_only=True)
class RatioReading:
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

    def to_dict(self) -> dict[str, Any]:
        """Return plain values for JSON."""
        return {
            "who": self.who,
            "for": self.stands_for,
            "ratio": self.ratio,
            "words": list(self.words),
            "bands": list(self.bands),
            "source": self.source,
        }


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
            who=entry["who"],
            stands_for=entry["for"],
            ratio=ratio,
            words=tuple(band["word"] for band in entry["bands"] if _holds(band, ratio)),
            bands=tuple(_band_text(band) for band in entry["bands"]),
            source=cite(entry),
        )
        for entry in load_data("ratio_conventions.yaml")["conventions"]
    ]


_SLACK = 1e-9  # a ratio of 12 must not miss the band that ends there by a rounding of the machine


def _holds(band: Mapping[str, Any], ratio: float) -> bool:
    if "below" in band:
        return ratio < float(band["below"]) - _SLACK
    if "above" in band:
        return ratio > float(band["above"]) + _SLACK
    return float(band["from"]) - _SLACK <= ratio <= float(band["to"]) + _SLACK


def _band_text(band: Mapping[str, Any]) -> str:
    if "below" in band:
        return f"{band['word']} below {band['below']:g}"
    if "above" in band:
        return f"{band['word']} above {band['above']:g}"
    return f"{band['word']} {band['from']:g} to {band['to']:g}"
