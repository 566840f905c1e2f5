"""What a card comes to as it is typed: the report, the marks at its lines, and what has changed against the saved card."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from glazecalc.check_report import CheckReport
from glazecalc.comparison import Comparison, compare_reports
from glazecalc.convert.batch import resolve
from glazecalc.errors import Fault, FileFaultsError, GlazeError
from glazecalc.files.recipes import parse_recipe
from glazecalc.files.text_file import refuse_what_is_no_text
from glazecalc.heat import heat_words
from glazecalc.show.differences import change, value_of, way
from glazecalc.show.text import number, unit_text
from glazecalc.workbench.bench import Bench, faults_of
from glazecalc.workbench.line_ends import for_a_form

__all__ = ("Change", "Mark", "WorkedOut", "work_out")


@dataclass(frozen=True, slots=True)
class Mark:
    """What is wrong or doubtful with a card; `line` is None where it is the card as a whole."""

    line: int | None
    kind: Literal["wrong", "doubtful"]
    text: str


@dataclass(frozen=True, slots=True)
class Change:
    """One number or answer that is another than on the saved card; `amount` is the difference in words."""

    what: str
    before: str
    after: str
    amount: str = ""
    unsure: str = ""


@dataclass(frozen=True, slots=True)
class WorkedOut:
    """A card worked out: `report` is None where it cannot be; `changes` is None where there is nothing to compare with."""

    report: CheckReport | None
    marks: tuple[Mark, ...]
    changes: tuple[Change, ...] | None


def work_out(bench: Bench, name: str, text: str, *, body: str = "", saved: str | None = None) -> WorkedOut:
    """Work a card out; `name` is that of its file, `saved` the text that the file holds."""
    try:
        refuse_what_is_no_text(text, name)
        report = bench.report(name, text, body)
    except GlazeError as error:
        faults = [*faults_of(error), *_names_beside(bench, name, text, faults_of(error))]
        marks = (Mark(fault.line, "wrong", f"{fault.message} {fault.hint}".strip()) for fault in faults)
        return WorkedOut(None, tuple(sorted(marks, key=lambda mark: mark.line or 0)), None)
    doubts = [
        Mark(notice.line, "doubtful", notice.message.removeprefix(f"line {notice.line}: "))
        for notice in report.notices
        if notice.line
    ]
    return WorkedOut(
        report, tuple(sorted(doubts, key=lambda mark: mark.line or 0)), _changes(bench, name, report, body, saved)
    )


def _names_beside(bench: Bench, name: str, text: str, faults: Sequence[Fault]) -> Sequence[Fault]:
    """Return the lines that can be read but name no material, beside those that cannot be read: names are looked up only where all lines can."""
    wrong = {fault.line for fault in faults}
    if None in wrong or Path(name).suffix.lower() in (".yaml", ".yml", ".csv", ".tsv"):
        return ()
    lines = enumerate(for_a_form(text).split("\n"), start=1)
    rest = "\n".join(("name: left out" if number == 1 else "#") if number in wrong else line for number, line in lines)
    try:
        recipe = parse_recipe(rest, name)
    except GlazeError:
        return ()
    try:
        resolve(recipe, bench.materials().library)
    except FileFaultsError as error:
        return [fault for fault in error.faults if fault.line is not None and fault.line not in wrong]
    except GlazeError:
        pass
    return ()


def _changes(bench: Bench, name: str, report: CheckReport, body: str, saved: str | None) -> tuple[Change, ...] | None:
    if saved is None:
        return None
    try:
        before = bench.report(name, saved, body)
    except GlazeError:
        return None
    return () if before is report else tuple(_told(compare_reports(before, report)))


def _told(found: Comparison) -> Iterator[Change]:
    a, b = found.a, found.b
    yield from _fields(a, b)
    yield from (
        Change(reading.about, left.title, reading.title)
        for left, reading in zip(a.readings, b.readings, strict=True)
        if left.code != reading.code
    )
    if a.unity is not None and b.unity is not None:
        for oxide in found.difference.unity:
            yield from _number(oxide, a.unity.get(oxide, 0.0), b.unity.get(oxide, 0.0), 2)
        ratios = a.silica_alumina_ratio, b.silica_alumina_ratio
        if None not in ratios:
            yield from _number("SiO2:Al2O3", *ratios, 1)  # type: ignore[arg-type]
    yield from _number("loss on ignition, % of total", a.loi_percent_all_in, b.loi_percent_all_in, 1)
    for one in found.differences:
        if way(one) != "same":
            told, star = change(one)
            at = one.temperature_range_c
            where = f" {at[0]:.0f} C" if one.quantity == "log viscosity" and at is not None else ""
            what = f"{one.quantity}{where}, {one.model} [{unit_text(one.unit)}]"
            yield Change(what, value_of(one.first), value_of(one.second), told, star)
    for word, there, other in (("new", b, a), ("gone", a, b)):
        titles = _titles(there.cautions, {caution.code for caution in other.cautions})
        if titles:
            yield Change("cautions", "" if word == "new" else titles, titles if word == "new" else "", word)


def _fields(a: CheckReport, b: CheckReport) -> Iterator[Change]:
    for what, before, after in (
        ("cone", heat_words(a.cone), heat_words(b.cone)),
        ("atmosphere", a.atmosphere, b.atmosphere),
        ("use", a.use, b.use),
    ):
        if before != after:
            yield Change(what, before or "none", after or "none")


def _number(what: str, before: float, after: float, digits: int) -> Iterator[Change]:
    """Yield the change of a number where it is as large as the last digit that is shown."""
    shown = f"{after - before:+.{digits}f}"
    if float(shown):
        yield Change(what, number(before, digits), number(after, digits), shown.replace("-", "\u2212"))


def _titles(cautions: Iterable[object], known: set[str]) -> str:
    told = dict.fromkeys(c.title for c in cautions if c.code not in known)  # type: ignore[attr-defined]
    return ", ".join(told)
