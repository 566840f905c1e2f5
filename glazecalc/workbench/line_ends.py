"""What a browser does to a text in a form, undone: the line ends and the byte order mark that the file had."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from difflib import SequenceMatcher

__all__ = ("as_the_file_has_them", "for_a_form", "same_lines")

_ENDS = re.compile("\r\n|\r|\n")
_MARK = "\ufeff"
_MOST_PAIRS = 250_000  # of lines that are laid against each other, 500 by 500; this program's own choice


def for_a_form(text: str) -> str:
    """Return the text as a form shows it: plain line ends, no byte order mark."""
    return _ENDS.sub("\n", text.removeprefix(_MARK))


def as_the_file_has_them(typed: str, before: str) -> str:
    """Return what was typed with the line ends of the text `before`: a line that stood there keeps its own, a new one takes the usual one.

    A form sends every line end as CR LF, whatever the file had.
    """
    mark = _MARK if before.startswith(_MARK) and not typed.startswith(_MARK) else ""
    new, old = _ENDS.split(typed), _ENDS.split(before.removeprefix(_MARK))
    old_ends = _ENDS.findall(before)
    usual = Counter(old_ends).most_common(1)[0][0] if old_ends else "\n"
    ends = [usual] * (len(new) - 1)
    if len(set(old_ends)) > 1:
        for at, to, length in same_lines(old, new):
            for place in range(length):
                if at + place < len(old_ends) and to + place < len(ends):
                    ends[to + place] = old_ends[at + place]
    return mark + "".join(line + end for line, end in zip(new, [*ends, ""], strict=True))


def same_lines(old: Sequence[str], new: Sequence[str]) -> Iterator[tuple[int, int, int]]:
    """Yield which runs of lines two texts have in common, in their order: where in the old one, where in the new one, how many.

    What stands alike at the top and at the foot is always found; between, texts that are very long count as all new, for to compare them takes minutes.
    """
    most = min(len(old), len(new))
    top = next((n for n in range(most) if old[n] != new[n]), most)
    foot = next((n for n in range(most - top) if old[-1 - n] != new[-1 - n]), most - top)
    yield 0, 0, top
    left, right = old[top : len(old) - foot], new[top : len(new) - foot]
    if len(left) * len(right) <= _MOST_PAIRS:
        for at, to, length in SequenceMatcher(None, left, right).get_matching_blocks():
            yield top + at, top + to, length
    yield len(old) - foot, len(new) - foot, foot
