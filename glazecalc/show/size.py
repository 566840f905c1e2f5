"""The page of `glazecalc size`."""

from __future__ import annotations

from glazecalc.amounts import inches_text
from glazecalc.plain_text import span_text
from glazecalc.show.text import wrapped
from glazecalc.workshop.practice import choice, usual_figures
from glazecalc.workshop.shrinkage import Measured, Sizes
from glazecalc.workshop.size import ClayMass, SizeReport

__all__ = (
    "LAWS",
    "absorption_notes",
    "absorption_row",
    "errors",
    "few_bars",
    "page",
    "shrinkage_rows",
    "stages",
)

LAWS = {
    "thickness": "size squared: the same wall thickness",
    "shape": "size cubed: the same shape, the wall grows with it",
}


def page(found: SizeReport) -> str:
    """Return shrinkages, sizes, clay and absorption as plain text in 100 columns."""
    blocks = [[f"{name:<20}{percent:6.2f} %   {said}" for name, percent, said in shrinkage_rows(found)]]
    blocks[0] += [text for text in (few_bars(found),) if text]
    if found.sizes is not None:
        rows = [f"{name:<14}{mm:>8.1f}   {inches}" for name, mm, inches in stages(found.sizes)]
        told = (line for text in errors(found) for line in wrapped(text, indent=0))
        blocks.append([f"{'':<14}{'mm':>8}   inches", *rows, *told])
    if found.clay is not None:
        blocks.append(_clay(found.clay))
    if found.absorption is not None:
        name, percent, said = absorption_row(found.absorption)
        first, *more = absorption_notes()
        told = (line for text in more for line in wrapped(text, indent=0))
        blocks.append([f"{name}    {percent:6.2f} %   {said}", first, *told])
    return "\n\n".join("\n".join(block) for block in blocks if block)


def shrinkage_rows(found: SizeReport) -> list[tuple[str, float, str]]:
    """Return each shrinkage [%], of which length it is, and the spread of the bars; nothing where none was asked for."""
    if found.total_percent is None:
        return []
    if found.total is None:
        return [("total shrinkage", found.total_percent, "of the plastic length")]
    return [
        (f"{name} shrinkage", measured.mean, f"{of}{_spread(measured, 'bars')}")
        for name, measured, of in (
            ("drying", found.drying, "of the plastic length"),
            ("firing", found.firing, "of the dry length"),
            ("total", found.total, "of the plastic length"),
        )
        if measured is not None
    ]


def few_bars(found: SizeReport) -> str:
    """Return that the bars are few, where they are."""
    few = 0 < len(found.bars) < choice("fewest_bars")
    return "ASTM C326 measures at least ten bars; fewer say little about the spread." if few else ""


def _spread(measured: Measured, what: str) -> str:
    if measured.count < 2:
        return ""
    deviation = f", deviation {measured.deviation:.2f}" if what == "bars" else ""
    return f"; {measured.count} {what}, {span_text(measured.low, measured.high, '.2f')}{deviation}"


def stages(sizes: Sizes) -> list[tuple[str, float, str]]:
    """Return the size [mm, and inches] as thrown, bone dry where that is known, and fired."""
    found = (
        ("throw", sizes.wet_mm, sizes.wet_inches),
        ("bone dry", sizes.dry_mm, sizes.dry_inches),
        ("fired", sizes.fired_mm, sizes.fired_inches),
    )
    return [(name, mm, inches or "") for name, mm, inches in found if mm is not None]


def errors(found: SizeReport) -> list[str]:
    """Return how far the sizes may be off: by the reading of a bar, by the spread of the bars, within a tolerance."""
    out = []
    if found.wet_low_mm is not None and found.wet_high_mm is not None:
        out.append(
            f"If the fired bar is misread by {found.bar_error:g}, the size to throw lies between {found.wet_low_mm:.0f} "
            f"and {found.wet_high_mm:.0f} mm ({inches_text(found.wet_low_mm)} to {inches_text(found.wet_high_mm)} in)."
        )
    low, high = found.fired_spread_mm or (0.0, 0.0)
    if len(found.bars) > 1:
        out.append(
            f"Thrown to one size, pieces that shrink like these bars come out between {low:.0f} and {high:.0f} mm."
        )
    if found.tolerance_mm is not None and found.wet_tolerance_mm is not None:
        if len(found.bars) > 1 and high - low > 2 * found.tolerance_mm:
            out.append("The bars differ by more than the tolerance: measure more of them, or allow more.")
        at_the_wheel = f"+-{found.wet_tolerance_mm:.1f} mm at the wheel"
        out.append(f"+-{found.tolerance_mm:.1f} mm on the fired size is {at_the_wheel}.")
    return out


def _clay(clay: ClayMass) -> list[str]:
    out = [f"clay          {clay.mass_g:>8.0f} g   {clay.text}    by {LAWS[clay.law]}"]
    return out + (wrapped(f"{clay.basis}.", indent=0) if clay.basis else [])


def absorption_row(absorption: Measured) -> tuple[str, float, str]:
    """Return the absorption [%], of what it is, and the spread of the pieces."""
    return "water absorption", absorption.mean, f"of the dry weight{_spread(absorption, 'pieces')}"


def absorption_notes() -> list[str]:
    """Return how it is measured, and what is usual."""
    return [
        "ASTM C373 boils for 5 h and soaks for 24 h; a shorter boil reads low.",
        usual_figures("absorption_percent"),
    ]
