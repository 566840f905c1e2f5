"""The one table of caution codes: what each is about, its title, how grave it can be, and the tests that settle it.

A code is written once: with the entry of the data that raises it (a metal, a surface, a fume), or else in ``caution_codes.yaml``.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from glazecalc.caution.caution import Caution, Severity
from glazecalc.caution.emissions import fumes, gases
from glazecalc.caution.metals import metals
from glazecalc.caution.surface_rules import surface_rules
from glazecalc.errors import GlazeError
from glazecalc.files.shipped import load_data, read_entry
from glazecalc.frozen import FrozenDict

__all__ = ("Code", "codes", "raised")

_FILE = "glazecalc/data/caution_codes.yaml"


@dataclass(frozen=True, slots=True, kw_only=True)
class Code:
    """A stable caution code."""

    name: str
    about: str  # one of `ABOUT`
    title: str  # what it is about in a few words, without figures
    on_food: tuple[Severity, ...]  # the steps it can take on food ware, gravest first
    otherwise: tuple[Severity, ...]  # the steps on ware that is not for food; empty where it is not raised there
    never_folded: bool = False  # true for lead and cadmium: printed whole on every page, with its severity
    settled_by: tuple[str, ...] = ()  # keys of the tests that settle it
    ask_for: str = ""  # the element that a release test should report; empty for none


@cache
def codes() -> Mapping[str, Code]:
    """Return every caution code there is, by name.

    Raises
    ------
    GlazeError
        Where the data writes a code twice.
    """
    table: dict[str, Code] = {}
    for code in (*_of_rules(), *_of_metals(), *_of_surfaces(), *_of_emissions()):
        if code.name in table:
            raise GlazeError(f"the caution code '{code.name}' is written twice in the data.", where=_FILE)
        table[code.name] = code
    return FrozenDict(table)


def _of_rules() -> Iterator[Code]:
    for name, entry in load_data("caution_codes.yaml")["codes"].items():
        steps = {key: tuple(Severity(step) for step in entry[key]) for key in ("on_food", "otherwise")}
        yield read_entry(Code, entry, f"{_FILE}: {name}", name=name, **steps)


def _of_metals() -> Iterator[Code]:
    for metal in metals().values():
        if (load := metal.load) is not None:
            yield Code(
                name=load.code, about="food", title=load.title, on_food=tuple(sorted(load.steps, key=lambda s: s.rank)),
                otherwise=(Severity.KNOW,), ask_for=metal.element,
            )  # fmt: skip


def _of_surfaces() -> Iterator[Code]:
    for rule in surface_rules().values():
        yield Code(
            name=rule.code, about="surface", title=rule.title, on_food=(Severity.STOP, Severity.LOOK),
            otherwise=(Severity.KNOW,), settled_by=rule.settled_by,
        )  # fmt: skip


def _of_emissions() -> Iterator[Code]:
    for emission in (*gases().values(), *fumes().values()):
        steps = (emission.severity,)
        yield Code(
            name=emission.code, about="kiln", title=emission.title, on_food=steps, otherwise=steps,
            never_folded=emission.never_folded,
        )  # fmt: skip


def raised(
    name: str,
    severity: Severity | None = None,
    *,
    message: str,
    do: str,
    evidence: Mapping[str, Any],
    source: str,
) -> Caution:
    """Return a caution by its code; what it is about and its title are those of the table.

    Parameters
    ----------
    name : str
        The code.
    severity : Severity, optional
        By default the only step that the code can take.
    message, do, evidence, source
        As in `Caution`.
    """
    code = codes()[name]
    if severity is None:
        (severity,) = {*code.on_food, *code.otherwise}
    return Caution(
        code=name, title=code.title, about=code.about, severity=severity, message=message, do=do, evidence=evidence,
        source=source, never_folded=code.never_folded,
    )  # fmt: skip
