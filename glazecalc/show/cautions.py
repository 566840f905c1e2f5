"""Cautions as every page prints them: nothing is cut; what is to know is counted, lead and cadmium never."""

from __future__ import annotations

from collections.abc import Iterable

from glazecalc.caution.caution import Caution, Severity
from glazecalc.show.text import WIDTH, bullet

_COLUMN = 17  # of severity and matter

__all__ = ("caution_headline", "caution_lines", "caution_whole", "page")


def page(caution: Caution) -> str:
    """Return one caution under its title, whole."""
    return "\n".join([caution.title, *caution_whole(caution)])


def caution_whole(caution: Caution) -> list[str]:
    """Return what was seen, why it matters, what to do and on whose authority."""
    return [
        *bullet(f"  {caution.severity}  {caution.about}", f"{caution.message} [{caution.code}]"),
        *(bullet("", caution.why) if caution.why else ()),
        *bullet("", f"Do: {caution.do}"),
        *bullet("", f"Source: {caution.source}"),
    ]


def caution_lines(
    cautions: Iterable[Caution], *, lead: str = "", width: int = _COLUMN, rest: str = "--full", most: int | None = None
) -> list[str]:
    """Return the message of each caution, the gravest `most` of them; further ones, and what is only to know, counted in one line by their titles.

    Stops, lead and cadmium are always told; `rest` says where the others stand.
    """
    lines: list[str] = []
    counted: dict[Severity, list[str]] = {}
    told, cautions = 0, list(cautions)
    if most is not None and sum(caution.severity is not Severity.KNOW for caution in cautions) == most + 1:
        most += 1  # one more takes no more room than its title
    for caution in cautions:
        always = caution.never_folded or caution.severity is Severity.STOP
        if always or (caution.severity is Severity.LOOK and (most is None or told < most)):
            lines += bullet(f"  {lead}{caution.severity}  {caution.about}", caution.message, width=width)
            told += 1
        else:
            counted.setdefault(caution.severity, []).append(caution.title)
    for severity, titles in counted.items():
        once = [f"{title[0].lower()}{title[1:]}" for title in reversed(dict.fromkeys(titles))]  # the bench first
        room = WIDTH - width - len(f"; and {len(once)} others: {rest}")
        named = [title for i, title in enumerate(once) if len("; ".join(once[: i + 1])) <= room]
        left = len(once) - len(named)
        more = f"; and {left} other{'s' if left > 1 else ''}" if left else ""
        lines += bullet(f"  {lead}{severity}  {len(once)} more", f"{'; '.join(named)}{more}: {rest}", width=width)
    return lines


def caution_headline(caution: Caution) -> str:
    """Return severity and title, which holds no figures: for lists that stand for several batches."""
    return f"{caution.severity}: {caution.message if caution.never_folded else f'{caution.title}.'}"
