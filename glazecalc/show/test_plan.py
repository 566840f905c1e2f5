"""The page of tests for one glaze and use."""

from __future__ import annotations

from collections.abc import Sequence

from glazecalc.caution.test_plan import PlannedTest
from glazecalc.check_report import CheckReport
from glazecalc.show.text import heading, rule, wrapped

__all__ = ("HINT", "LAST", "page")

HINT = "a hint only; shows nothing by itself"
LAST = "The laboratory's report and the law of the place where the ware is sold decide. A result holds for this glaze, firing and shape only."


def page(report: CheckReport, tests: Sequence[PlannedTest]) -> str:
    """Return the tests, laboratory first, each with why it is asked for and where it was read."""
    use = report.use or "not given, read as a plate"
    lines = [*heading(f"Tests for {report.batch.recipe.name or 'this glaze'}", f"use: {use}"), rule()]
    level = ""
    for test in tests:
        if test.level != level:
            level = test.level
            hint = f"  {HINT}" if level == "bench" else ""
            lines += ["", f"{level.upper()}{hint}"]
        lines += wrapped(f"[ ] {test.name}", indent=2, hang=6)
        lines += wrapped(f"{test.finds}. Pieces: {test.pieces}.", indent=6)
        lines += wrapped(f"because: {test.why}. Source: {test.source}.", indent=6)
    lines += ["", *wrapped(LAST, indent=0)]
    return "\n".join(lines)
