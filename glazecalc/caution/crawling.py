"""The reading for crawling: causes in the raw coat and the melt's surface tension, side by side, never one score.

For a glaze meant to crawl the same reading serves the other way round: it names what to change.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from glazecalc.caution.caution import Caution
from glazecalc.caution.codes import raised
from glazecalc.caution.composition import holds_at_least
from glazecalc.convert.batch import Batch
from glazecalc.estimate.result import Estimate
from glazecalc.estimate.surface_tension import TensionModel
from glazecalc.files.shipped import load_data, read_entry
from glazecalc.frozen import FrozenDict
from glazecalc.material import Material
from glazecalc.spelling import name_key

__all__ = ("HighTension", "RawCause", "crawling_cautions", "high_tension", "raw_causes", "raw_causes_in")

_FILE = "crawling.yaml"


@dataclass(frozen=True, slots=True, kw_only=True)
class RawCause:
    """What in the raw coat makes a glaze crawl."""

    key: str  # its name in the evidence
    materials: tuple[
        str, ...
    ] = ()  # ids of the materials that bring it; without these and `at_least` all raw clay does
    at_least: Mapping[str, float] = field(
        default_factory=FrozenDict
    )  # wt %; a bag of one's own brings it by what it holds
    never: tuple[str, ...] = ()  # ids, and words in a name, of what does not bring it all the same
    wt_percent: float  # the share of the batch above which a word is due
    why: str
    source: str

    def brought_by(self, material: Material) -> bool:
        """Return True for a material that brings it."""
        return _is_brought_by(self, material)

    def _asked(self, material: Material) -> bool:
        words = {word for name in material.names for word in name_key(name)}
        if material.id in self.never or words & set(self.never):
            return False
        if material.id in self.materials or not self.materials:
            return bool(self.materials) or material.is_raw_clay
        return bool(self.at_least) and holds_at_least(material, self.at_least)


@dataclass(frozen=True, slots=True, kw_only=True)
class HighTension:
    """From where on the surface tension of a melt is high among glazes: `value` [mN/m], calculated by `model`."""

    value: float
    model: TensionModel
    source: str


@cache  # in a table of recipes the same materials are asked about again and again
def _is_brought_by(cause: RawCause, material: Material) -> bool:
    return cause._asked(material)


@cache
def raw_causes() -> tuple[RawCause, ...]:
    """Return the raw causes, in the order of the data."""
    entries = load_data(_FILE)["raw_causes"]  # their sources stand there in words, not as keys
    return tuple(read_entry(RawCause, entry, f"{_FILE}: {entry['key']}", source=entry["source"]) for entry in entries)


@cache
def high_tension() -> HighTension:
    """Return from where on a surface tension is high."""
    entry = load_data(_FILE)["surface_tension_rank_mn_m"]
    return read_entry(HighTension, entry, _FILE, source=entry["source"])


def raw_causes_in(batch: Batch) -> list[tuple[RawCause, float]]:
    """Return the raw causes that a batch holds enough of, each with its share [wt %]; without one there is no caution of crawling."""
    shares = [(cause, batch.share_percent(cause.brought_by)) for cause in raw_causes()]
    return [(cause, share) for cause, share in shares if share > cause.wt_percent]


def crawling_cautions(batch: Batch, tension: Estimate | None) -> list[Caution]:
    """Return what points to crawling in a batch; `tension` is the melt's surface tension [mN/m] by the model that the data names.

    Both kinds of cause together are a `look`, raw causes alone a `know`; a high surface tension alone is nothing to act on.
    """
    met = raw_causes_in(batch)
    if not met:
        return []
    rank = high_tension()
    high = tension is not None and tension.model == rank.model and tension.value > rank.value
    named = ", ".join(f"{_name(batch, cause)} {share:.1f} %" for cause, share in met)
    why = " ".join(f"{_name(batch, cause)}: {cause.why}." for cause, _ in met)
    melt = "whether gaps heal is open, as the melt's surface tension has no estimate"
    if tension is not None:
        healing = "gaps may stay open" if high else "gaps may heal"
        melt = f"{healing} (surface tension {tension.value:.0f} mN/m, {'' if high else 'not '}high among glazes)"
    evidence: dict[str, Any] = {f"{cause.key}_wt_percent": share for cause, share in met}
    evidence |= {f"{cause.key}_threshold_wt_percent": cause.wt_percent for cause, _ in met}
    evidence["surface_tension_mn_m"] = tension.value if tension else None
    evidence["surface_tension_threshold_mn_m"] = rank.value
    sources = "; ".join(dict.fromkeys([*(cause.source for cause, _ in met), *([rank.source] if tension else [])]))
    caution = raised(
        "crawling-likely" if high else "crawling-raw-cause",
        f"The raw coat may crack and crawl, by {named}; {melt}.",
        why=why,
        do="To stop it crawling: calcine part of the clay or zinc, thinner coats, clean bisque, and a tile at three thicknesses. If crawling is "
        "wanted, change these; keep it off surfaces that food touches and off rims, and brush off loose beads.",
        evidence=evidence,
        source=f"{sources}. The figures are this program's own choice, confidence low",
    )
    return [caution]


def _name(batch: Batch, cause: RawCause) -> str:
    if not cause.materials:
        return "raw clay"
    return ", ".join(dict.fromkeys(material.name for material in batch.materials if cause.brought_by(material)))
