"""YAML read strictly: version 1.2 meaning, line numbers kept, limits on depth, aliases and values.

Built from the event stream of PyYAML's C parser, so that deep nesting meets our limit before it meets the stack.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
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
from glazecalc.files.text_file import file_fault
from glazecalc.plain_text import with_plain_spaces

__all__ = ("NO_VALUE", "YamlValue", "read_yaml")

NO_VALUE = "Write the number; n.d. where it lies below detection, 0 where there is none; or leave the line out where nothing was measured."
"""The mend for what stands in place of a number."""
_DEEPEST = 20
_MOST_ALIASES = 20
_MOST_VALUES = 100_000

_LOADER = getattr(yaml, "CLoader", yaml.Loader)
_INT = re.compile(r"[-+]?[0-9]+\Z|0o[0-7]+\Z|0x[0-9a-fA-F]+\Z")
_FLOAT = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?\Z")
_DASH_ALONE = re.compile(r"[ \t]*(?P<key>[^\s#:-][^#:]*):[ \t]+-[ \t]*(?:#.*)?\r?\Z")
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


def read_yaml(text: str, path: str) -> YamlValue:
    """Read one YAML document; `path` is its name in messages.

    Raises FileFaultsError with every duplicate key found, or the first fault of syntax, depth or aliases.
    """
    faults: list[Fault] = []
    try:
        root = _build(with_plain_spaces(text), path, faults)
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        line = mark.line + 1 if mark else None
        dashes = list(_dashes(text))
        if line in [dash.line for dash in dashes]:
            raise FileFaultsError(path, dashes) from None
        said = f"this is not valid YAML: {getattr(error, 'problem', None) or str(error).splitlines()[0]}."
        raise file_fault(path, said, "Check indents, colons and quotes.", line) from None
    if faults:
        raise FileFaultsError(path, faults)
    if root is None:
        raise file_fault(path, "the file is empty.")
    return root


def _dashes(text: str) -> Iterator[Fault]:
    """Yield a fault for each dash that stands for a value: to a reader of sheets it says "none", to YAML that a list begins."""
    for number, line in enumerate(text.split("\n"), start=1):
        found = _DASH_ALONE.match(line)
        if found is not None:
            said = f"'{found['key'].strip()[:60]}' is '-', which is no value."
            yield Fault(number, said, NO_VALUE)


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
                raise file_fault(path, "a second YAML document starts here.", "One document a file.", line)
            continue
        line = event.start_mark.line + 1
        values += 1
        aliases += kind is AliasEvent
        if values > _MOST_VALUES:
            raise file_fault(path, f"the file holds more than {_MOST_VALUES} values.", line=line)
        if aliases > _MOST_ALIASES:
            raise file_fault(path, f"the file uses more than {_MOST_ALIASES} aliases.", "Write the values out.", line)
        item = _item(event, line, anchors, path)
        if within is None:
            root = item
        elif type(within.value) is list:
            within.value.append(item)
        elif key is not None:
            _add(key, item, within, faults)
            key = None
        elif isinstance(item.value, list | dict):
            raise file_fault(path, "a list or mapping cannot be a key.", line=item.line)
        else:
            key = item
        if kind in _STARTS:
            if len(outer) >= _DEEPEST:
                raise file_fault(path, f"values are nested deeper than {_DEEPEST} levels.", line=item.line)
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
        raise file_fault(path, f"the tag {event.tag} is not used here.", "Take it away.", line)
    if event.anchor:
        anchors[event.anchor] = item
    return item


def _repeated(anchor: str, line: int, anchors: dict[str, YamlValue], path: str) -> YamlValue:
    if anchor not in anchors:
        raise file_fault(path, f"the alias *{anchor} has no anchor.", line=line)
    item = anchors[anchor]
    if isinstance(item.value, list | dict):
        raise file_fault(path, f"the alias *{anchor} repeats a list or mapping.", "Write the values out.", line)
    return item


def _add(key: YamlValue, item: YamlValue, mapping: YamlValue, faults: list[Fault]) -> None:
    name = key.raw
    if name not in mapping.value:
        mapping.value[name] = item
        mapping.key_lines[name] = key.line
        return
    first = mapping.key_lines[name]
    faults.append(
        Fault(key.line, f"the key '{name[:60]}' is there twice (first on line {first}).", "Keep one of them.")
    )


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
