"""What to be careful with at the bench and the kiln."""

from __future__ import annotations

from glazecalc.caution.caution import Severity
from glazecalc.caution.material_hazards import hazards_of
from glazecalc.readings.facts import Facts
from glazecalc.readings.reading import Reading

__all__ = ("read",)


def read(facts: Facts) -> Reading:
    """Return the reading `bench`."""
    found = [c for c in facts.cautions if c.about in ("bench", "kiln")]
    grave = [c for c in found if c.severity != Severity.KNOW]
    unknown = [m.name for m, _ in facts.batch.by_material() if hazards_of(m).is_unknown]
    if grave:
        code, says = "bench-cautions", f"{'; '.join(dict.fromkeys(caution.title for caution in grave))}."
    elif unknown:
        code, says = "bench-no-data", f"No hazard data for {', '.join(unknown)}: get the safety data sheet."
    else:
        code, says = "bench-usual", "The usual habits: no dust, wet cleaning, an aired kiln."
    return Reading(
        about="bench",
        code=code,
        says=says,
        because=f"{len(found)} cautions about bench and kiln, {len(grave)} of them to settle.",
        evidence={"cautions": [caution.code for caution in found], "no_hazard_data": unknown},
        do="Read the safety sheet of each bag; it rules over this page.",
        source="the cautions of this page",
    )
