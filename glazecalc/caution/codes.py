"""The one table of caution codes: what each is about, its title, how grave it can be, and the tests that settle it.

A code is written once: with the entry of the data that raises it (a metal, a surface, a fume, an atmosphere), or else in ``caution_codes.yaml``.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from glazecalc.caution.atmosphere import atmosphere_rules
from glazecalc.caution.caution import Caution, Severity
from glazecalc.caution.emissions import fumes, gases
from glazecalc.caution.metals import metals
from glazecalc.caution.surface_rules import surface_rules
from glazecalc.errors import GlazeError
from glazecalc.files.shipped import read_mapping
from glazecalc.frozen import FrozenDict
from glazecalc.recipe import NOT_FOR_FOOD, Use

__all__ = ("Code", "codes", "raised")

_FILE = "caution_codes.yaml"


@dataclass(frozen=True, slots=True, kw_only=True)
class Code:
    """A stable caution code."""

    key: str
    about: str  # one of `ABOUT`
    title: str  # what it is about in a few words, without figures
    on_food: tuple[Severity, ...]  # the steps it can take on food ware, gravest first
    otherwise: tuple[Severity, ...]  # the steps on ware that is not for food; empty where it is not raised there
    never_folded: bool = False  # true for lead and cadmium: never counted in one line with others
    full_only: bool = False  # true for what stands on the full page alone
    settled_by: tuple[str, ...] = ()  # keys of the tests that settle it
    ask_for: str = ""  # the element that a release test should report; empty for none


@cache
def codes() -> Mapping[str, Code]:
    """Return every caution code there is, by name."""
    table: dict[str, Code] = {}
    for code in (
        *read_mapping(Code, _FILE, "codes").values(),
        *_of_metals(),
        *_of_surfaces(),
        *_of_emissions(),
        *_of_atmospheres(),
    ):
        if code.key in table:
            raise GlazeError(f"the caution code '{code.key}' is written twice in the data.", where=_FILE)
        table[code.key] = code
    return FrozenDict(table)


def _of_metals() -> Iterator[Code]:
    for metal in metals().values():
        if (load := metal.load) is not None:
            yield Code(
                key=load.code, about="food", title=load.title,
                on_food=tuple(sorted({*load.steps, *load.weak_steps}, key=lambda s: s.rank)),
                otherwise=(Severity.KNOW,), ask_for=load.ask_for or metal.element,
            )  # fmt: skip


def _of_surfaces() -> Iterator[Code]:
    for rule in surface_rules().values():
        yield Code(
            key=rule.code, about="surface", title=rule.title, on_food=(Severity.STOP, Severity.LOOK),
            otherwise=(Severity.KNOW,), settled_by=rule.settled_by,
        )  # fmt: skip


def _of_emissions() -> Iterator[Code]:
    for of in (*gases().values(), *fumes().values()):
        step = (of.severity,)
        yield Code(
            key=of.code, about="kiln", title=of.title, on_food=step, otherwise=step, never_folded=of.never_folded
        )


def _of_atmospheres() -> Iterator[Code]:
    for rule in atmosphere_rules().values():
        yield Code(
            key=rule.key, about=rule.about, title=rule.title, on_food=(rule.severity,), otherwise=(rule.otherwise,),
            never_folded=rule.never_folded,
        )  # fmt: skip


def raised(
    key: str,
    message: str,
    severity: Severity | None = None,
    *,
    use: Use | None = None,
    why: str = "",
    do: str,
    evidence: Mapping[str, Any],
    source: str,
) -> Caution:
    """Return a caution by its code, which says its title and what it is about.

    `severity` is the step on food ware, by default the only one that the code can take; on ware for a `use` that is not
    food the code's own milder step is taken.
    """
    code = codes()[key]
    if use == NOT_FOR_FOOD:
        (severity,) = code.otherwise
    elif severity is None:
        (severity,) = code.on_food
    return Caution(
        code=key, title=code.title, about=code.about, severity=severity, message=message, why=why, do=do, evidence=evidence,
        source=source, never_folded=code.never_folded, full_only=code.full_only,
    )  # fmt: skip
