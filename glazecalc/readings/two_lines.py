"""A short answer in two lines of the page: where all does not fit, what matters least is said in fewer words or left to --full."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

__all__ = ("in_two_lines",)

_WIDTH, _LINES = 90, 2  # of the page beside the word that the answer is about


def in_two_lines(*parts: str | Sequence[str]) -> str:
    """Return the parts in their order; of a part in several wordings, longest first, a shorter one where two lines ask for it.

    The last of the parts gives way first, wording by wording; an empty wording leaves the part out.
    """
    wordings = [[part] if isinstance(part, str) else list(part) for part in parts]
    while not _fits(said := " ".join(filter(None, (words[0] for words in wordings)))):
        ways = [words for words in wordings if len(words) > 1]
        if not ways:
            break
        ways[-1].pop(0)
    return said


def _fits(text: str) -> bool:
    return len(textwrap.wrap(text, _WIDTH, break_on_hyphens=False)) <= _LINES
