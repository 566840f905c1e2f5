"""What to be careful with at the bench and the kiln."""

from __future__ import annotations

from glazecalc.caution.caution import Severity
from glazecalc.readings.facts import Facts
from glazecalc.readings.reading import Reading

__all__ = ("read",)


def read(facts: Facts) -> Reading:
    """Return the reading `bench`."""
    found = [c for c in facts.cautions if c.about in ("bench", "kiln")]
    grave = [c for c in found if c.severity != Severity.KNOW]
    if grave:
        code, says = "bench-cautions", f"{'; '.join(dict.fromkeys(caution.title for caution in grave))}."
    else:
        code, says = "bench-usual", "The usual habits: no dust, wet cleaning, an aired kiln."
    return Reading(
        about="bench",
        code=code,
        says=says,
        because=f"{len(found)} cautions about bench and kiln, {len(grave)} of them to settle.",
        evidence={"cautions": [caution.code for caution in found]},
        do="Read the safety sheet of each bag; it rules over this page.",
        source="the cautions of this page",
    )
