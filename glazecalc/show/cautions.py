"""Cautions as every page prints them: nothing is cut; what is to know is counted, lead and cadmium never."""

from __future__ import annotations

from collections.abc import Iterable

from glazecalc.caution.caution import Caution, Severity
from glazecalc.show.text import bullet

__all__ = ("caution_headline", "caution_lines", "caution_whole")


def caution_whole(caution: Caution) -> list[str]:
    """Return what was seen, why it matters, what to do and on whose authority."""
    return [
        *bullet(f"  {caution.severity}  {caution.about}", f"{caution.message} [{caution.code}]"),
        *(bullet("", caution.why) if caution.why else ()),
        *bullet("", f"Do: {caution.do}"),
        *bullet("", f"Source: {caution.source}"),
    ]


def caution_lines(cautions: Iterable[Caution], *, lead: str = "", width: int = 18, rest: str = "--full") -> list[str]:
    """Return the message of each caution, and in one line how many there are to know and of what; `rest` says where those stand."""
    lines, folded = [], []
    for caution in cautions:
        if caution.severity is Severity.KNOW and not caution.never_folded:
            folded.append(f"{caution.title[0].lower()}{caution.title[1:]}")
        else:
            lines += bullet(f"  {lead}{caution.severity}  {caution.about}", caution.message, width=width)
    titles = list(dict.fromkeys(folded))
    if titles:
        lines += bullet(f"  {lead}know  {len(titles)} more", f"{', '.join(titles)}: {rest}", width=width)
    return lines


def caution_headline(caution: Caution) -> str:
    """Return severity and title, which holds no figures: for lists that stand for several batches."""
    return f"{caution.severity}: {caution.message if caution.never_folded else f'{caution.title}.'}"
