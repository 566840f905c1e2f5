"""What a browser does to a text in a form, undone: the line ends and the byte order mark that the file had."""

from __future__ import annotations

import re
from collections import Counter
from difflib import SequenceMatcher

__all__ = ("as_the_file_has_them", "for_a_form")

_ENDS = re.compile("\r\n|\r|\n")
_MARK = "\ufeff"


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
        for at, to, length in SequenceMatcher(None, old, new, autojunk=False).get_matching_blocks():
            for place in range(length):
                if at + place < len(old_ends) and to + place < len(ends):
                    ends[to + place] = old_ends[at + place]
    return mark + "".join(line + end for line, end in zip(new, [*ends, ""], strict=True))
