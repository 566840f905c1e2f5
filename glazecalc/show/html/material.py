"""The page of one material: analysis, hazards at the bench, where its numbers come from."""

from __future__ import annotations

from typing import Any

from glazecalc.material import Material
from glazecalc.oxides import AXIS
from glazecalc.show import material as text_page
from glazecalc.show.html.drawing import bar
from glazecalc.show.text import number

__all__ = ("page",)


def page(material: Material, *, full: bool = False) -> tuple[str, dict[str, Any]]:
    """Return the template and its parts; with `full` the whole citation."""
    most = max(material.analysis.values(), default=1.0)
    order = {oxide: at for at, oxide in enumerate(AXIS)}
    listed = sorted(material.analysis.items(), key=lambda pair: order.get(pair[0], len(order)))
    tolerance = {oxide: f"± {value:g}" for oxide, value in material.tolerance.items()}
    source = material.source
    facts = [
        ("numbers from", text_page.made_from(material)),
        ("also called", ", ".join(material.aliases)),
        ("not for sale", "" if material.for_sale else material.not_sold_because or "no bag of that name is sold"),
        ("supplier", material.supplier),
        ("lot", material.lot),
        ("received", material.received),
        ("properties", ", ".join(text_page.fact_words(material))),
        ("notes", material.notes),
    ]
    return "material.html", {
        "line": f"{material.kind.replace('_', ' ')}, id {material.id}",
        "facts": [(what, text) for what, text in facts if text],
        "oxides": [(oxide, number(value, 2), tolerance.get(oxide, ""), bar(value / most)) for oxide, value in listed],
        "below": list(material.below_detection.items()),
        "loss": "not reported" if material.loi_percent is None else number(material.loi_percent, 2),
        "leaves": ", ".join(f"{part} {number(value, 2)}" for part, value in material.loss.items()),
        "total": number(material.total_percent, 2),
        "not_listed": text_page.oxides_not_listed(material),
        "hazards": text_page.hazard_words(material),
        "source": source.cite() if full else source.in_short,
        "seen_at": source.seen_at if full else "",
        "full": full,
    }
