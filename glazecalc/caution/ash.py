"""Wood ash: what its analysis leaves out, the unburnt share and what washing takes."""

from __future__ import annotations

from glazecalc.caution.caution import Caution
from glazecalc.caution.codes import raised
from glazecalc.caution.metals import facts
from glazecalc.convert.batch import Batch

__all__ = ("ash_cautions",)


def ash_cautions(batch: Batch) -> list[Caution]:
    """Return a word on each batch with an ash that dissolves in part, or may: the ash of wood, not of a volcano."""
    met = [line.material for line in batch.lines if line.material.kind == "ash" and line.material.solubility != "no"]
    if not met:
        return []
    names, shares = list(dict.fromkeys(material.name for material in met)), facts()["wood_ash_shares"]
    percent = batch.share_percent(lambda material: material in met)
    return [
        raised(
            "wood-ash-varies",
            f"{', '.join(names)}, {percent:.1f} % of the batch: counted as burnt clean. {shares.text}.",
            do="Burn or calcine it clean, or measure its loss and count it; wash it each time alike or not at all, and test each lot on a tile.",
            evidence={"materials": names, "wt_percent": percent},
            source=shares.source,
        )
    ]
