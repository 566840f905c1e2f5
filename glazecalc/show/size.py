"""The page of `glazecalc size`."""

from __future__ import annotations

from glazecalc.amounts import inches_text
from glazecalc.plain_text import span_text
from glazecalc.show.text import wrapped
from glazecalc.workshop.practice import choice, usual_figures
from glazecalc.workshop.shrinkage import Measured, Sizes
from glazecalc.workshop.size import ClayMass, SizeReport

__all__ = ("page",)

_LAWS = {
    "thickness": "size squared: the same wall thickness",
    "shape": "size cubed: the same shape, the wall grows with it",
}


def page(found: SizeReport) -> str:
    """Return shrinkages, sizes, clay and absorption as plain text in 100 columns."""
    blocks = [_shrinkages(found)]
    if found.sizes is not None:
        blocks.append([*_sizes(found.sizes), *(line for text in _errors(found) for line in wrapped(text, indent=0))])
    if found.clay is not None:
        blocks.append(_clay(found.clay))
    if found.absorption is not None:
        blocks.append(_absorption(found.absorption))
    return "\n\n".join("\n".join(block) for block in blocks if block)


def _shrinkages(found: SizeReport) -> list[str]:
    if found.total_percent is None:
        return []
    out = [
        f"{name + ' shrinkage':<20}{measured.mean:6.2f} %   {basis}{_spread(measured, 'bars')}"
        for name, measured, basis in (
            ("drying", found.drying, "of the plastic length"),
            ("firing", found.firing, "of the dry length"),
            ("total", found.total, "of the plastic length"),
        )
        if measured is not None
    ]
    if found.total is None:
        out.append(f"{'total shrinkage':<20}{found.total_percent:6.2f} %   of the plastic length")
    if 0 < len(found.bars) < choice("fewest_bars"):
        out.append("ASTM C326 measures at least ten bars; fewer say little about the spread.")
    return out


def _spread(measured: Measured, what: str) -> str:
    if measured.count < 2:
        return ""
    deviation = f", deviation {measured.deviation:.2f}" if what == "bars" else ""
    return f"; {measured.count} {what}, {span_text(measured.low, measured.high, '.2f')}{deviation}"


def _sizes(sizes: Sizes) -> list[str]:
    stages = (
        ("throw", sizes.wet_mm, sizes.wet_inches),
        ("bone dry", sizes.dry_mm, sizes.dry_inches),
        ("fired", sizes.fired_mm, sizes.fired_inches),
    )
    rows = [f"{name:<14}{mm:>8.1f}   {inches}" for name, mm, inches in stages if mm is not None]
    return [f"{'':<14}{'mm':>8}   inches", *rows]


def _errors(found: SizeReport) -> list[str]:
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
    out = [f"clay          {clay.mass_g:>8.0f} g   {clay.text}    by {_LAWS[clay.law]}"]
    return out + (wrapped(f"{clay.basis}.", indent=0) if clay.basis else [])


def _absorption(absorption: Measured) -> list[str]:
    return [
        f"water absorption    {absorption.mean:6.2f} %   of the dry weight{_spread(absorption, 'pieces')}",
        "ASTM C373 boils for 5 h and soaks for 24 h; a shorter boil reads low.",
        *wrapped(usual_figures("absorption_percent"), indent=0),
    ]
