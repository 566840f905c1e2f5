"""Cautions as every page prints them. Lead and cadmium are never shortened and never without their severity."""

from __future__ import annotations

from glazecalc.caution.caution import Caution
from glazecalc.show.text import bullet

__all__ = ("caution_headline", "caution_in_short", "caution_whole")


def caution_whole(caution: Caution) -> list[str]:
    """Return what was seen, what to do and on whose authority."""
    return [
        *bullet(f"  {caution.severity}  {caution.about}", f"{caution.message} [{caution.code}]"),
        *bullet("", f"Do: {caution.do}"),
        *bullet("", f"Source: {caution.source}"),
    ]


def caution_in_short(caution: Caution, *, lead: str = "", width: int = 18) -> list[str]:
    """Return the message in one line, with a sign where there is more of it."""
    most = None if caution.never_folded else 1
    return bullet(f"  {lead}{caution.severity}  {caution.about}", caution.message, width=width, most_lines=most)


def caution_headline(caution: Caution) -> str:
    """Return severity and title, which holds no figures: for lists that stand for several batches."""
    return f"{caution.severity}: {caution.message if caution.never_folded else f'{caution.title}.'}"
