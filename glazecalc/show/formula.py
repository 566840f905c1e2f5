"""What is said of a unity formula that does not hold, and the formula with the colouring oxides counted as flux beside it."""

from __future__ import annotations

from glazecalc.caution.formula_holds import FormulaStanding
from glazecalc.show.text import wrapped

__all__ = ("counted_lines", "counted_text", "standing_lines")


def standing_lines(standing: FormulaStanding, *, lead: str = "") -> list[str]:
    """Return what stands at the head of a page where the formula does not hold; nothing where it does."""
    return [] if standing.holds else wrapped(f"{lead}{standing.says}", indent=0, hang=2)


def counted_lines(standing: FormulaStanding) -> list[str]:
    """Return the formula with the colouring oxides counted as flux; nothing where that adds nothing."""
    text = counted_text(standing)
    return wrapped(text, hang=6) if text else []


def counted_text(standing: FormulaStanding) -> str:
    """Return the same in one sentence; empty where it adds nothing."""
    unity = standing.counted_as_flux
    if unity is None:
        return ""
    figures = "  ".join(f"{oxide} {value:.2f}" for oxide, value in unity.items() if value >= 0.005)
    colour = [o for o in ("FeO", "MnO", "CoO", "NiO", "CuO") if o in unity.convention.fluxes and unity[o] >= 0.005]
    why = f"{standing.says} " if standing.holds else ""
    return f"{why}Counted as flux, {' '.join(colour)}: {figures}"
