"""YAML read strictly: version 1.2 meaning, line numbers kept, limits on size, depth and aliases.

Built from the event stream of PyYAML's C parser, so that deep nesting meets our limit before it meets the stack.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import yaml

from glazecalc.errors import Fault, FileFaultsError

__all__ = ("YamlValue", "read_yaml")

LARGEST_BYTES = 1_000_000
DEEPEST = 20
MOST_ALIASES = 20
MOST_VALUES = 100_000

_LOADER = getattr(yaml, "CLoader", yaml.Loader)
_INT = re.compile(r"[-+]?[0-9]+\Z|0o[0-7]+\Z|0x[0-9a-fA-F]+\Z")
_FLOAT = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?\Z")
_SPECIAL = re.compile(r"[-+]?\.(inf|Inf|INF)\Z|\.(nan|NaN|NAN)\Z")


@dataclass(slots=True)
class YamlValue:
    """One value of a YAML text with the line (1-based) it starts on.

    `value` is a scalar (str, int, float, bool or None), a list of YamlValue, or a dict of str -> YamlValue; `raw` is the
    text of a scalar as written.
    """

    value: Any
    line: int
    raw: str = ""
    key_lines: dict[str, int] = field(default_factory=dict)

    def plain(self) -> Any:
        """Return the value with all wrappers taken off."""
        if isinstance(self.value, dict):
            return {key: item.plain() for key, item in self.value.items()}
        if isinstance(self.value, list):
            return [item.plain() for item in self.value]
        return self.value


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
        root = _build(yaml.parse(text.lstrip("\ufeff"), Loader=_LOADER), path, faults)
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


def _line(event: yaml.Event) -> int:
    mark = event.start_mark
    return mark.line + 1 if mark is not None else 1


def _stop(path: str, line: int, message: str, hint: str = "") -> FileFaultsError:
    return FileFaultsError(path, [Fault(line, message, hint)])


def _build(events: Iterator[yaml.Event], path: str, faults: list[Fault]) -> YamlValue | None:
    root: YamlValue | None = None
    stack: list[tuple[YamlValue, list[YamlValue | None]]] = []  # container, [pending key]
    anchors: dict[str, YamlValue] = {}
    for event in _content(events, path):
        if isinstance(event, (yaml.SequenceEndEvent, yaml.MappingEndEvent)):
            stack.pop()
            continue
        item = _item(event, anchors, path)
        if stack:
            _attach(item, stack[-1], path, faults)
        else:
            root = item
        if isinstance(event, (yaml.SequenceStartEvent, yaml.MappingStartEvent)):
            if len(stack) >= DEEPEST:
                raise _stop(path, item.line, f"values are nested deeper than {DEEPEST} levels.")
            stack.append((item, [None]))
    return root


def _content(events: Iterator[yaml.Event], path: str) -> Iterator[yaml.Event]:
    """Yield the events of values, and refuse what is too many."""
    documents = aliases = values = 0
    for event in events:
        if isinstance(event, yaml.DocumentStartEvent):
            documents += 1
            if documents > 1:
                raise _stop(path, _line(event), "a second YAML document starts here.", "One document a file.")
        elif isinstance(event, yaml.NodeEvent):
            values += 1
            aliases += isinstance(event, yaml.AliasEvent)
            if values > MOST_VALUES:
                raise _stop(path, _line(event), f"the file holds more than {MOST_VALUES} values.")
            if aliases > MOST_ALIASES:
                many = f"the file uses more than {MOST_ALIASES} aliases."
                raise _stop(path, _line(event), many, "Write the values out.")
            yield event
        elif isinstance(event, yaml.CollectionEndEvent):
            yield event


def _item(event: yaml.Event, anchors: dict[str, YamlValue], path: str) -> YamlValue:
    line = _line(event)
    if isinstance(event, yaml.AliasEvent):
        if event.anchor not in anchors:
            raise _stop(path, line, f"the alias *{event.anchor} has no anchor.")
        item = anchors[event.anchor]
        if isinstance(item.value, (list, dict)):
            raise _stop(path, line, f"the alias *{event.anchor} repeats a list or mapping.", "Write the values out.")
        return item
    tag = getattr(event, "tag", None)
    if tag and tag != "!":
        raise _stop(path, line, f"the tag {tag} is not used here.", "Take it away.")
    if isinstance(event, yaml.ScalarEvent):
        item = YamlValue(_scalar(event), line, event.value)
    else:
        item = YamlValue([] if isinstance(event, yaml.SequenceStartEvent) else {}, line)
    anchor = getattr(event, "anchor", None)
    if anchor:
        anchors[anchor] = item
    return item


def _attach(item: YamlValue, frame: tuple[YamlValue, list[YamlValue | None]], path: str, faults: list[Fault]) -> None:
    container, pending = frame
    if isinstance(container.value, list):
        container.value.append(item)
        return
    if pending[0] is None:
        if isinstance(item.value, (list, dict)):
            raise _stop(path, item.line, "a list or mapping cannot be a key.")
        pending[0] = item
        return
    key_item = pending[0]
    key = key_item.raw
    if key in container.value:
        first = container.key_lines[key]
        faults.append(
            Fault(key_item.line, f"the key '{key[:60]}' stands twice (first on line {first}).", "Keep one of them.")
        )
    else:
        container.value[key] = item
        container.key_lines[key] = key_item.line
    pending[0] = None


def _scalar(event: yaml.ScalarEvent) -> Any:
    text: str = event.value
    if not event.implicit[0]:  # quoted or block text
        return text
    if text in ("", "~", "null", "Null", "NULL"):
        return None
    first = text[0]
    if first in "-+.0123456789":
        if _INT.match(text):
            if len(text) > 400:
                return text
            return int(text, 0) if text[:2] in ("0o", "0x") else int(text)
        if _FLOAT.match(text):
            return float(text)
        if _SPECIAL.match(text):
            return float(text.lower().replace(".", ""))
    if text in ("true", "True", "TRUE"):
        return True
    if text in ("false", "False", "FALSE"):
        return False
    return text
