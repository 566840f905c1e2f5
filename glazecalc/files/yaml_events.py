"""YAML read strictly: version 1.2 meaning, line numbers kept, limits on size, depth and aliases.

Built from the event stream of PyYAML's C parser, so that deep nesting meets our limit before it meets the stack.
"""

from __future__ import annotations

import re
from typing import Any

import yaml
from yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
)

from glazecalc.errors import Fault, FileFaultsError

__all__ = ("YamlValue", "read_yaml")

LARGEST_BYTES = 1_000_000
DEEPEST = 20
MOST_ALIASES = 20
MOST_VALUES = 100_000

_LOADER = getattr(yaml, "CLoader", yaml.Loader)
_INT = re.compile(r"[-+]?[0-9]+\Z|0o[0-7]+\Z|0x[0-9a-fA-F]+\Z")
_FLOAT = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?\Z")
_BEGIN_NUMBERS = frozenset("-+.0123456789")
_WORDS: dict[str, Any] = dict.fromkeys(("", "~", "null", "Null", "NULL"))
_WORDS |= {"true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False}
_WORDS |= {f"{sign}.{word}": float(sign + word) for sign in ("", "+", "-") for word in ("inf", "Inf", "INF")}
_WORDS |= {f".{word}": float(word) for word in ("nan", "NaN", "NAN")}

_STARTS = {SequenceStartEvent, MappingStartEvent}
_ENDS = {SequenceEndEvent, MappingEndEvent}
_VALUES = {ScalarEvent, AliasEvent, *_STARTS}
_NO_KEYS: dict[str, int] = {}  # of a scalar and a list; nothing is ever added


class YamlValue:
    """One value of a YAML text with the line (1-based) it starts on.

    `value` is a scalar (str, int, float, bool or None), a list of YamlValue, or a dict of str -> YamlValue; `raw` is the
    text of a scalar as written, `key_lines` the line of each key of a dict.
    """

    __slots__ = ("key_lines", "line", "raw", "value")

    def __init__(self, value: Any, line: int, raw: str = "", key_lines: dict[str, int] = _NO_KEYS) -> None:
        self.value = value
        self.line = line
        self.raw = raw
        self.key_lines = key_lines

    def plain(self) -> Any:
        """Return the value with all wrappers taken off."""
        value = self.value
        if isinstance(value, dict):
            return {key: item.plain() for key, item in value.items()}
        return [item.plain() for item in value] if isinstance(value, list) else value


def read_yaml(text: str, path: str, *, largest_bytes: int = LARGEST_BYTES) -> YamlValue:
    """Read one YAML document.

    Parameters
    ----------
    text : str
        The document.
    path : str
        Its name, for messages.
    largest_bytes : int
        Refuse a longer text.

    Raises
    ------
    FileFaultsError
        With every duplicate key found, or the first fault of syntax, size, depth or aliases.
    """
    if len(text) > largest_bytes:
        raise FileFaultsError(
            path, [Fault(None, f"the file is larger than {largest_bytes // 1000} kB.", "Is it the right file?")]
        )
    faults: list[Fault] = []
    try:
        root = _build(text.lstrip("\ufeff"), path, faults)
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        problem = getattr(error, "problem", None) or str(error).splitlines()[0]
        raise FileFaultsError(
            path,
            [
                Fault(
                    mark.line + 1 if mark else None,
                    f"this is not valid YAML: {problem}.",
                    "Check indents, colons and quotes.",
                )
            ],
        ) from None
    if faults:
        raise FileFaultsError(path, faults)
    if root is None:
        raise FileFaultsError(path, [Fault(None, "the file is empty.")])
    return root


def _stop(path: str, line: int, message: str, hint: str = "") -> FileFaultsError:
    return FileFaultsError(path, [Fault(line, message, hint)])


def _build(text: str, path: str, faults: list[Fault]) -> YamlValue | None:
    root: YamlValue | None = None
    within: YamlValue | None = None  # the list or mapping that is open
    key: YamlValue | None = None  # of it, waiting for its value
    outer: list[YamlValue | None] = []  # those that are open around it
    anchors: dict[str, YamlValue] = {}
    values = aliases = 0
    for event in iter(_LOADER(text).get_event, None):
        kind = type(event)
        if kind in _ENDS:
            within = outer.pop()
            continue
        if kind not in _VALUES:
            if kind is DocumentStartEvent and root is not None:
                line = event.start_mark.line + 1
                raise _stop(path, line, "a second YAML document starts here.", "One document a file.")
            continue
        line = event.start_mark.line + 1
        values += 1
        aliases += kind is AliasEvent
        if values > MOST_VALUES:
            raise _stop(path, line, f"the file holds more than {MOST_VALUES} values.")
        if aliases > MOST_ALIASES:
            raise _stop(path, line, f"the file uses more than {MOST_ALIASES} aliases.", "Write the values out.")
        item = _item(event, line, anchors, path)
        if within is None:
            root = item
        elif type(within.value) is list:
            within.value.append(item)
        elif key is not None:
            _add(key, item, within, faults)
            key = None
        elif isinstance(item.value, list | dict):
            raise _stop(path, item.line, "a list or mapping cannot be a key.")
        else:
            key = item
        if kind in _STARTS:
            if len(outer) >= DEEPEST:
                raise _stop(path, item.line, f"values are nested deeper than {DEEPEST} levels.")
            outer.append(within)
            within = item
    return root


def _item(event: Any, line: int, anchors: dict[str, YamlValue], path: str) -> YamlValue:
    kind = type(event)
    if kind is ScalarEvent:
        item = YamlValue(_scalar(event), line, event.value)
    elif kind is MappingStartEvent:
        item = YamlValue({}, line, "", {})
    elif kind is SequenceStartEvent:
        item = YamlValue([], line)
    else:
        return _repeated(event.anchor, line, anchors, path)
    if event.tag and event.tag != "!":
        raise _stop(path, line, f"the tag {event.tag} is not used here.", "Take it away.")
    if event.anchor:
        anchors[event.anchor] = item
    return item


def _repeated(anchor: str, line: int, anchors: dict[str, YamlValue], path: str) -> YamlValue:
    if anchor not in anchors:
        raise _stop(path, line, f"the alias *{anchor} has no anchor.")
    item = anchors[anchor]
    if isinstance(item.value, list | dict):
        raise _stop(path, line, f"the alias *{anchor} repeats a list or mapping.", "Write the values out.")
    return item


def _add(key: YamlValue, item: YamlValue, mapping: YamlValue, faults: list[Fault]) -> None:
    name = key.raw
    if name not in mapping.value:
        mapping.value[name] = item
        mapping.key_lines[name] = key.line
        return
    first = mapping.key_lines[name]
    faults.append(Fault(key.line, f"the key '{name[:60]}' stands twice (first on line {first}).", "Keep one of them."))


def _scalar(event: ScalarEvent) -> Any:
    text: str = event.value
    if not event.implicit[0]:  # quoted or block text
        return text
    if text[:1] in _BEGIN_NUMBERS:
        if _INT.match(text):
            if len(text) > 400:
                return text
            return int(text, 0) if text[:2] in ("0o", "0x") else int(text)
        if _FLOAT.match(text):
            return float(text)
    return _WORDS.get(text, text)
