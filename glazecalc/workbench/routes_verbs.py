"""Do something with a glaze: the verbs of the command line as forms, their pages as answers, and an answer saved as a new card."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup, escape
from starlette.exceptions import HTTPException

from glazecalc.caution.bench import short_cautions
from glazecalc.cli.call import Found
from glazecalc.cli.reformulate_options import Keeping
from glazecalc.errors import Fault, GlazeError
from glazecalc.files.firings import read_firings
from glazecalc.files.recipes import parse_recipe, recipe_text_for
from glazecalc.recipe import Recipe
from glazecalc.reformulate.answers import Outcome
from glazecalc.reformulate.nudge import Nudge
from glazecalc.workbench import pages
from glazecalc.workbench.app import Asked
from glazecalc.workbench.asking import Filled, as_here, ask, faults_here, files_for
from glazecalc.workbench.bench import Bench, faults_of
from glazecalc.workbench.fields import in_form_words
from glazecalc.workbench.jobs import FREE, SHELVES, Job, job_named
from glazecalc.workbench.routes_shelf import shelf_rows
from glazecalc.workbench.saving import Card
from glazecalc.workshop.bucket_label import BucketLabel
from glazecalc.workshop.weighing_list import ScaledBatch

__all__ = ("ROUTES",)

_ASKED = "asked"  # a form that was sent has this field


@dataclass(frozen=True, slots=True)
class _ToSave:
    """An answer that may become a card: which one it is, its text, and a name that is free."""

    which: str
    text: str
    name: str


def with_a_glaze(bench: Bench, asked: Asked) -> pages.Response:
    """Show what can be done with a glaze."""
    name = asked.names["name"]
    _, recipe, faults = _glaze(bench, name)
    shelves = [*((heading, jobs, True) for heading, jobs in SHELVES), ("Kiln, wheel, laboratory", FREE, False)]
    return pages.page("do.html", name=name, title=_title(name, recipe), faults=faults, shelves=shelves)


def without_a_glaze(_bench: Bench, _asked: Asked) -> pages.Response:
    """Show what can be worked out without a card."""
    return pages.page("do.html", name="", title="Cone, size, laboratory", faults=(), shelves=(("", FREE, False),))


def one_with_a_glaze(bench: Bench, asked: Asked) -> pages.Response:
    """Show the form of a verb for a glaze, and its answer where it was sent."""
    name = asked.names["name"]
    job = job_named(asked.names["job"], free=False)
    card, recipe, faults = _glaze(bench, name)
    if job is None:
        raise HTTPException(404)
    return _page(bench, asked, job, name, card, recipe, faults)


def one_without_a_glaze(bench: Bench, asked: Asked) -> pages.Response:
    """Show the form of a verb that needs no glaze, and its answer where it was sent."""
    job = job_named(asked.names["job"], free=True)
    if job is None:
        raise HTTPException(404)
    return _page(bench, asked, job, "", None, None, ())


def _glaze(bench: Bench, name: str) -> tuple[Card, Recipe | None, tuple[Fault, ...]]:
    """Return a card and its recipe, or why it cannot be read."""
    card = bench.card(name)
    if card is None:
        raise HTTPException(404)
    try:
        text = card.text()
        if text is None:
            raise HTTPException(404)
        return card, parse_recipe(text, name), ()
    except GlazeError as error:
        return card, None, faults_of(error)


def _title(name: str, recipe: Recipe | None) -> str:
    return recipe.name if recipe is not None and recipe.name else name


def _page(
    bench: Bench,
    asked: Asked,
    job: Job,
    name: str,
    card: Card | None,
    recipe: Recipe | None,
    faults: tuple[Fault, ...],
) -> pages.Response:
    filled = Filled.of(asked.ticked)
    found: Found | None = None
    to_save: list[_ToSave] = []
    if _ASKED not in filled.values:
        filled = _to_begin_with(bench, job)
    elif not faults:
        try:
            found = ask(bench, job, filled, card, recipe)
            to_save = list(_to_save(bench, found.value))
        except GlazeError as error:
            faults = faults_here(bench, error)
    anchors = set(job.names)
    return pages.page(
        "verb.html",
        job=job,
        name=name,
        title=_title(name, recipe),
        recipe=recipe,
        filled=filled,
        files=_files(bench, job),
        materials=_materials(recipe),
        offered=_offered(bench, job),
        faults=[in_form_words(f"{_line(fault)}{fault.message} {fault.hint}".strip(), anchors) for fault in faults],
        answer=_answer(bench, job, filled, found) if found is not None else None,
        summary=_summary(job, filled),
        rest_open=any(_holds_something(job, name, filled) for name in job.rest),
        to_save=to_save,
        words=lambda text: in_form_words(text, anchors, beside_field=True),
    )


_CHOSEN = ("second", "others", "body", "prices", "stock", "firings", "results")


def _files(bench: Bench, job: Job) -> dict[str, list[tuple[str, str]]]:
    """Return what may be chosen, the cards by the names of their glazes."""
    found = {what: [(file.name, file.shown) for file in files_for(bench, what)] for what in _CHOSEN}
    if job.extra in ("second", "others"):
        names = {row.file: row.name for row in shelf_rows(bench)[0]}
        found |= {
            what: [(name, names.get(name, shown)) for name, shown in found[what]] for what in ("second", "others")
        }
    return found


def _line(fault: Fault) -> str:
    return f"Line {fault.line}: " if fault.line is not None else ""


def _materials(recipe: Recipe | None) -> list[str]:
    return list(dict.fromkeys(item.material for item in recipe.ingredients)) if recipe is not None else []


def _offered(bench: Bench, job: Job) -> dict[str, list[str]]:
    """Return what may stand in a field, where the folder knows: the bodies on which one has fired."""
    if job.key != "calibrate":
        return {}
    bodies: set[str] = set()
    for file in files_for(bench, "firings"):
        with suppress(GlazeError):  # the verb says why a file cannot be read
            bodies |= {firing.body for firing in read_firings(file.path)[0]}
    return {"body-name": sorted(bodies)}


def _answer(bench: Bench, job: Job, filled: Filled, found: Found) -> Markup:
    """Return the page of an answer, with files called by their names in the folder."""
    value: Any = found.value
    if job.key == "label" and isinstance(value, ScaledBatch):
        value = BucketLabel(
            bucket=value,
            bench=tuple(short_cautions(value.materials)),
            unit=filled.one("unit") or "g",  # type: ignore[arg-type]  # the verb has judged it
            **{field: filled.one(field.replace("_", "-")).strip() for field in ("date", "batch_no", "mesh")},
        )
        text = pages.answer(value)
    else:
        typed = {"of": "what was typed"} if job.extra == "results" and not filled.one("results") else {}
        text = pages.answer(value, notices=as_here(bench, found.notices), **{**found.options, **typed})
    return Markup(str(text).replace(str(escape(f"{bench.studio.root}/")), ""))


def _summary(job: Job, filled: Filled) -> list[tuple[str, str]]:
    """Return what was asked, in few words: the fields that hold something."""
    asked = [
        ("", ", ".join(filled.lines(name))) for name in ("wishes", "what", "second", "others", "firings", "results")
    ]
    if weights := sum(bool(filled.one(name)) for name in filled.values if name.startswith("weighed-")):
        asked.append(("", f"{weights} weight{'' if weights == 1 else 's'}"))
    for name in job.names:
        if _holds_something(job, name, filled):
            value = "" if job.field(name).kind == "flag" else ", ".join(filled.lines(name))
            asked.append((name.replace("-", " "), value))
    return [(what, value) for what, value in asked if what or value]


def _holds_something(job: Job, name: str, filled: Filled) -> bool:
    """Whether a field says more than it does from the start."""
    value = filled.lines(name)
    return bool(value) and value != [job.field(name).default]


def _to_begin_with(bench: Bench, job: Job) -> Filled:
    """Return what a form holds before it is filled in: the studio's own lists, where the verb is about them."""
    own = {"prices": "prices.csv", "stock": "shelf.csv"}
    wanted = {what: name for what, name in own.items() if what in job.begins_with}
    there = {name for what in wanted for name in (file.name for file in files_for(bench, what))}
    return Filled({what: (name,) for what, name in wanted.items() if name in there})


def _to_save(bench: Bench, value: object) -> Iterator[_ToSave]:
    """Yield the answers that may be saved as cards, based on the one they come from."""
    if isinstance(value, Outcome):
        for number, answer in enumerate(value.answers, start=1):
            (_, text), *_ = Keeping(save="answer.txt", answer=number).writes(value)
            which = f"Answer {number}" if len(value.answers) > 1 else "The answer"
            another = f" {number}" if number > 1 else ""
            yield _ToSave(which, text, _free_name(bench, answer.recipe.name + another))
    elif isinstance(value, Nudge):
        text = recipe_text_for(value.recipe, "answer.txt")
        yield _ToSave("The changed card", text, _free_name(bench, value.recipe.name))


def _free_name(bench: Bench, title: str) -> str:
    """Return a name of a file that the folder does not have yet."""
    stem = "-".join(re.findall(r"\w+", title.lower()))[:60] or "answer"
    taken: Sequence[str] = [file.name.casefold() for file in bench.studio.cards()]
    tries = (stem if number == 1 else f"{stem}-{number}" for number in range(1, len(taken) + 2))
    return next(name for name in tries if f"{name}.txt".casefold() not in taken)


ROUTES = (
    (("GET",), "/glaze/{name}/do", with_a_glaze),
    (("GET",), "/glaze/{name}/do/{job}", one_with_a_glaze),
    (("GET",), "/do", without_a_glaze),
    (("GET",), "/do/{job}", one_without_a_glaze),
)
