"""The reading for crawling: causes in the raw coat and the melt's surface tension, side by side, never one score.

For a glaze meant to crawl the same reading serves the other way round: it names the levers.
"""

from __future__ import annotations

from typing import Any

from glazecalc.caution.caution import Caution, Severity
from glazecalc.caution.codes import raised
from glazecalc.convert.batch import Batch
from glazecalc.estimate.result import Estimate
from glazecalc.files.shipped import load_data

__all__ = ("crawling_cautions",)


def crawling_cautions(batch: Batch, tension: Estimate | None) -> list[Caution]:
    """Return what points to crawling in a batch.

    Parameters
    ----------
    batch : Batch
        The recipe with its materials.
    tension : Estimate or None
        Surface tension [mN/m] by the model that the data names.

    Returns
    -------
    list of Caution
        Empty where nothing does. Both kinds of cause together are a `look`, raw causes alone a `know`; a high surface
        tension alone is nothing to act on.
    """
    data = load_data("crawling.yaml")
    met = [
        (cause, share) for cause in data["raw_causes"] if (share := _share(batch, cause)) > float(cause["wt_percent"])
    ]
    if not met:
        return []
    rank = data["surface_tension_rank_mn_m"]
    high = tension is not None and tension.model == rank["model"] and tension.value > float(rank["value"])
    named = "; ".join(f"{_name(batch, cause)} {share:.1f} % ({cause['why']})" for cause, share in met)
    melt = ""
    if tension is not None:
        melt = f" The melt's surface tension is reckoned {tension.value:.0f} mN/m, " + (
            "high among glazes, so gaps may stay open." if high else "not high among glazes, so gaps may heal."
        )
    evidence: dict[str, Any] = {f"{cause['key']}_wt_percent": share for cause, share in met}
    evidence |= {f"{cause['key']}_threshold_wt_percent": cause["wt_percent"] for cause, _ in met}
    evidence |= {
        "surface_tension_mn_m": tension.value if tension else None,
        "surface_tension_threshold_mn_m": rank["value"],
    }
    sources = "; ".join(dict.fromkeys([*(cause["source"] for cause, _ in met), *([rank["source"]] if tension else [])]))
    return [
        raised(
            "crawling-likely" if high else "crawling-raw-cause",
            severity=Severity.LOOK if high else Severity.KNOW,
            message=f"This may crawl: {named}.{melt}",
            do=(
                "If it must lie flat: calcine part of the clay or zinc, thinner coats, clean bisque, and a tile at three thicknesses. If it is meant to "
                "crawl, these are the levers; keep it off surfaces that food touches and off rims, and brush off loose beads."
            ),
            evidence=evidence,
            source=f"{sources}. The figures are this program's own choice, confidence low",
        )
    ]


def _share(batch: Batch, cause: dict[str, Any]) -> float:
    if cause["key"] == "raw_clay":
        return batch.share_percent(lambda m: m.is_raw_clay)
    return batch.share_percent(lambda m: m.id in cause["materials"])


def _name(batch: Batch, cause: dict[str, Any]) -> str:
    if cause["key"] == "raw_clay":
        return "raw clay"
    return ", ".join(dict.fromkeys(material.name for material in batch.materials if material.id in cause["materials"]))
