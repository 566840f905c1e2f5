"""A filled-in form becomes a call of a verb: every value behind its option's ``=``, every file one of the folder's own."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from glazecalc.cli.call import Found
from glazecalc.cli.collect import collected
from glazecalc.errors import Fault, FileFaultsError, GlazeError, Notice
from glazecalc.files.firings import find_recipe_file, read_firings
from glazecalc.files.text_file import only_within
from glazecalc.recipe import Recipe
from glazecalc.sentences import capital
from glazecalc.workbench.bench import Bench, faults_of
from glazecalc.workbench.fields import Field
from glazecalc.workbench.folder import StudioFile
from glazecalc.workbench.jobs import Job
from glazecalc.workbench.saving import Card

__all__ = ("Filled", "as_here", "ask", "faults_here", "files_for")

_WENT_IN, _RESULTS = "what-went-in.txt", "results-as-typed.csv"
_TYPED = {_WENT_IN: "what went in", _RESULTS: "the results as typed"}  # no files of the potter's: a page calls them so


@dataclass(frozen=True, slots=True)
class Filled:
    """What a form holds: every value of every field, as it was typed."""

    values: Mapping[str, tuple[str, ...]]

    @classmethod
    def of(cls, pairs: Sequence[tuple[str, str]]) -> Filled:
        """Gather the pairs of a query."""
        found: dict[str, tuple[str, ...]] = {}
        for name, value in pairs:
            found[name] = (*found.get(name, ()), value.replace("\r\n", "\n"))
        return cls(found)

    def one(self, name: str) -> str:
        """Return the value of a field that has one."""
        return self.values.get(name, ("",))[0]

    def lines(self, name: str) -> list[str]:
        """Return the lines of a field that are not blank."""
        return [line.strip() for value in self.values.get(name, ()) for line in value.splitlines() if line.strip()]


def ask(bench: Bench, job: Job, filled: Filled, card: Card | None, recipe: Recipe | None) -> Found:
    """Call the verb of a job and return what it found; GlazeError for all that the command line, or the folder, says against it."""
    options = [word for name in job.names for word in _words(bench, job.field(name), filled)]
    if job.key == "label":
        options.append("--label=label.html")  # so that date and batch number may stand; nothing is written
    options += _own_materials(bench, job)
    here = [] if card is None else [str(card.path)]
    match job.extra:
        case "weighed" if recipe is not None:
            with _typed(bench, _WENT_IN, _weighed(recipe, filled)) as typed:
                return collected(job.verb, *options, f"--weighed={typed}", "--", *here)
        case "wishes":
            return collected(job.verb, *options, "--", *here, *filled.lines("wishes"))
        case "second" | "others":
            chosen = [name for name in filled.values.get(job.extra, ()) if name]
            return collected(job.verb, *options, "--", *here, *(str(_chosen(bench, "cards", n).path) for n in chosen))
        case "firings":
            file = _chosen(bench, "firings", filled.one("firings")).path
            _refuse_what_leads_out(bench, file)
            return collected(job.verb, *options, *(f"--place={path}" for path in here), "--", str(file))
        case "results":
            if filled.one("results"):
                return collected(job.verb, *options, "--", str(_chosen(bench, "results", filled.one("results")).path))
            with _typed(bench, _RESULTS, filled.one("typed")) as typed:
                return collected(job.verb, *options, "--", typed)
        case "what":
            return collected(job.verb, *options, "--", *filled.one("what").split())
    return collected(job.verb, *options, "--", *here)


def files_for(bench: Bench, what: str) -> tuple[StudioFile, ...]:
    """Return the files of the folder that may be chosen for a field."""
    studio = bench.studio
    match what:
        case "cards" | "second" | "others":
            return tuple(file for file in studio.cards() if not file.reason)
        case "body":
            return tuple(file for file in studio.bodies() if not file.reason)
        case "prices" | "stock":
            return tuple(f for f in studio.tables() if f.name in ("prices.csv", "shelf.csv") and not f.reason)
        case "firings":
            return tuple(file for file in studio.tables() if file.name.startswith("firings") and not file.reason)
        case "results":
            return tuple(
                file
                for file in studio.tables()
                if not file.reason and file.name not in ("prices.csv", "shelf.csv") and "firings" not in file.name
            )
    return ()


def faults_here(bench: Bench, error: GlazeError) -> tuple[Fault, ...]:
    """Return what is wrong, with the names of files as the folder has them."""
    before = f"{bench.studio.root}{os.sep}"
    named = getattr(error, "path", "")
    name = Path(named).name
    file = f"{_TYPED.get(name, name)}: " if named and error.faults else ""

    def told(text: str) -> str:
        return text.replace(before, "")

    return tuple(
        Fault(f.line, told(file + f.message if file else capital(f.message)), told(f.hint)) for f in faults_of(error)
    )


def as_here(bench: Bench, notices: Sequence[Notice]) -> tuple[Notice, ...]:
    """Return notices that name files as the folder has them."""
    before = f"{bench.studio.root}{os.sep}"
    return tuple(Notice(n.code, n.message.replace(before, ""), n.line) for n in notices)


def _words(bench: Bench, field: Field, filled: Filled) -> Iterator[str]:
    option = f"--{field.name}"
    match field.kind:
        case "flag":
            if field.name in filled.values:
                yield option
        case "file":
            if name := filled.one(field.name):
                file = _chosen(bench, field.name, name)
                if field.name == "firings":
                    _refuse_what_leads_out(bench, file.path)
                yield f"{option}={file.path}"
        case "ticks":
            yield from (f"{option}={value}" for value in filled.values.get(field.name, ()) if value)
        case "lines":
            yield from (f"{option}={line}" for line in filled.lines(field.name))
        case _:
            if value := filled.one(field.name).strip():
                yield f"{option}={value}"


def _own_materials(bench: Bench, job: Job) -> list[str]:
    """Return the option for the studio's own materials, where it has any and the verb asks for some."""
    if job.verb in ("cone", "size", "lab"):
        return []
    folder, files = bench.studio.materials_folder, bench.studio.materials()
    if why := bench.studio.why_not(folder):
        raise GlazeError(why)
    if outside := next((file for file in files if file.reason), None):
        raise GlazeError(f"materials, {outside.shown}: {outside.reason}")
    return [f"--materials={folder}"] if files else []


def _chosen(bench: Bench, what: str, name: str) -> StudioFile:
    found = next((file for file in files_for(bench, what) if file.name == name), None)
    if found is None:
        raise GlazeError(
            f"'{name[:80]}' is none of the files of the folder." if name else "no file is chosen.", "Choose one."
        )
    return found


def _refuse_what_leads_out(bench: Bench, firings: Path) -> None:
    """Refuse firings that name a recipe outside of the folder."""
    for firing in read_firings(firings)[0]:
        try:
            leads_out = not bench.studio.inside(find_recipe_file(firing.recipe, firings))
        except (GlazeError, OSError, ValueError):
            continue  # the verb says so at its line
        if leads_out:
            raise GlazeError(f"{firings.name} names '{firing.recipe[:80]}', which is outside of the studio's folder.")


def _weighed(recipe: Recipe, filled: Filled) -> str:
    """Return what went in as a card: the amounts beside the recipe's own materials, and the lines typed below."""
    rows = ((item.material, filled.one(f"weighed-{n}").strip()) for n, item in enumerate(recipe.ingredients))
    lines = [f"{name}  {' '.join(amount.split())}" for name, amount in rows if amount]
    text = "\n".join([*lines, *filled.lines("besides")])
    if not text:
        raise GlazeError("nothing is weighed yet.", "Write beside each material what went in.")
    return text + "\n"


@contextmanager
def _typed(bench: Bench, name: str, text: str) -> Iterator[str]:
    """Yield the path of what was typed, for a verb that reads files; it lies outside of the folder and is gone at once."""
    with ExitStack() as until_read:
        try:
            folder = until_read.enter_context(TemporaryDirectory(prefix="glazecalc-", ignore_cleanup_errors=True))
            file = Path(folder, name)
            file.write_text(text, encoding="utf-8", errors="replace")
        except OSError as error:
            said = f"what was typed cannot be put into a file for a moment: {error.strerror or error}."
            raise GlazeError(said, "Make room on the disk.") from None
        until_read.enter_context(only_within(bench.studio.root, folder))
        try:
            yield str(file)
        except FileFaultsError as error:
            raise FileFaultsError(name, error.faults) from None
        except GlazeError as error:
            raise GlazeError(error.message.replace(f"{folder}{os.sep}", ""), error.hint) from None
