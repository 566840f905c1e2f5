"""The fields of a form, made from the options of a verb: their words are those of its help, and stand nowhere else."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Literal

import click
from markupsafe import Markup, escape

from glazecalc.cli.verbs import verbs
from glazecalc.convention import CONVENTION_OPTIONS
from glazecalc.sentences import capital
from glazecalc.show.html.setting import plain

__all__ = ("NEVER", "Field", "fields_of", "in_form_words")

NEVER = frozenset(
    ("materials", "html", "replace", "json", "plot", "csv", "save", "answer", "sheet", "label", "time-limit")
)
"""Options that no form may give: what writes a file, what reads one by its path, and what says how a result is printed."""
_FILES = frozenset(("body", "firings", "prices", "stock"))  # a file of the folder is chosen
_WITH = re.compile(r"(With --[a-z-]+): (.+)", re.DOTALL)
_LABEL_ENDS = re.compile(r": |; |\. |, e\.g\. | \[default: |, a YAML file")
_REPEAT = re.compile(r"[;,] (?:may repeat|repeated|repeat for each piece)(?=[.:]|$)|(?:; )?may repeat(?=[.:]|$)")
_ON_PAPER = re.compile(r" for sheet(?:, label and page| and label)")
_DEFAULT = re.compile(r"\[default: ([^\]]+)\]")
_OPTION = re.compile(r"(?<![\w-])--([a-z][a-z-]+)")

Kind = Literal["text", "lines", "choice", "ticks", "flag", "file"]


@dataclass(frozen=True, slots=True)
class Field:
    """One field: `name` is that of its option without the dashes; `label` and `hint` are the two halves of its help."""

    name: str
    label: str
    hint: str
    kind: Kind
    choices: tuple[str, ...] = ()
    default: str = ""
    required: bool = False


@cache
def fields_of(verb: str) -> Mapping[str, Field]:
    """Return the fields of a verb's options by name, those of `NEVER` left out."""
    command = verbs.get_command(click.Context(verbs), verb)
    assert command is not None, verb
    options = [param for param in command.params if isinstance(param, click.Option)]
    made = (_field(option) for option in options)
    return {field.name: field for field in made if field.name not in NEVER}


def in_form_words(text: str, anchors: Iterable[str] = (), *, beside_field: bool = False) -> Markup:
    """Return words of the command line as a form says them: an option by the name of its field, and a way to it where the page has it.

    Beside a field the Tab key passes by that way: it leads from one field to the next.
    """
    there = frozenset(anchors)

    def named(found: re.Match[str]) -> str:
        words = found[1].replace("-", " ")
        if found[1] in there:
            stop = ' tabindex="-1"' if beside_field else ""
            return f'<a class="field" href="#{found[1]}"{stop}>{words}</a>'
        return f'<i class="field">{words}</i>'

    return Markup(_OPTION.sub(named, str(escape(plain(text)))))


def _field(option: click.Option) -> Field:
    name = option.opts[0].removeprefix("--")
    label, hint = _halves((option.help or "").replace("RECIPE", "the recipe"))
    hint = hint.removeprefix(f"--{name} ")
    hint = _as_typed("; ".join(filter(None, ("" if "=" in hint else _form(option), hint))))
    kind, choices = _kind(option, name)
    if kind == "flag":
        label, hint = (option.help or "").rstrip("."), ""
    if kind == "lines":
        hint = f"{hint}; one a line" if hint and not hint.endswith(".") else f"{hint} One a line.".strip()
    shown = option.show_default or kind == "choice"
    default = option.default if shown and isinstance(option.default, str | int | float) else ""
    return Field(name, label, hint, kind, choices, str(default), option.required)


def _kind(option: click.Option, name: str) -> tuple[Kind, tuple[str, ...]]:
    if option.is_flag or (isinstance(option.flag_value, int) and not isinstance(option.flag_value, bool)):
        return "flag", ()
    if name in _FILES:
        return "file", ()
    if name == "convention":
        return "ticks", tuple(CONVENTION_OPTIONS)
    if isinstance(option.type, click.Choice):
        return "ticks" if option.multiple else "choice", tuple(map(str, option.type.choices))
    return "lines" if option.multiple else "text", ()


def _form(option: click.Option) -> str:
    """Return how a value is written, where the help leaves that to the name of its kind: ``name=parts``, ``18mm``."""
    told = option.metavar or option.type.name
    return told.lower() if told[:1].isdigit() or "=" in told or ".." in told else ""


def _as_typed(hint: str) -> str:
    """Return a hint for a field: without the quotes that only a shell wants, what looks like a value called an example."""
    example = hint[:1] in ('"', *"0123456789") and "by default" not in hint
    told = _DEFAULT.sub(r"left blank: \1", hint.replace('"', ""))
    return f"e.g. {told}" if example else told


def _halves(told: str) -> tuple[str, str]:
    """Return a help text as a label and what stands behind it: ``Volume to make: 10l. Needs --sg.`` is a label of three words."""
    text, behind = _ON_PAPER.sub("", _REPEAT.sub("", told.strip())), ""
    given = _WITH.fullmatch(text)
    if given:
        text, behind = capital(given[2]), f" {given[1]}."
    end = _LABEL_ENDS.search(text)
    if end is None:
        return text.rstrip("."), behind.strip()
    rest = text[end.end() :] if end[0] != " [default: " else text[end.start() + 1 :]
    if end[0] == ", e.g. ":
        rest = f"e.g. {rest}"
    rest = rest.rstrip("., ")
    dot = "." if behind or ". " in rest else ""
    return text[: end.start()], f"{rest}{dot}{behind}"
