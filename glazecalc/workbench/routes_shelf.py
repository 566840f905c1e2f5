"""The shelf of glazes: every card with what it comes to in the fewest words, and the files that cannot be read with their reason."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from urllib.parse import quote

from glazecalc.errors import Fault, GlazeError
from glazecalc.heat import heat_words
from glazecalc.readings.reading import ABOUT
from glazecalc.workbench import pages
from glazecalc.workbench.app import Asked
from glazecalc.workbench.bench import Bench, NotRead, faults_of
from glazecalc.workbench.folder import StudioFile
from glazecalc.workbench.guard import Refusal
from glazecalc.workbench.oxide_picture import OxidePicture, oxide_picture
from glazecalc.workbench.saving import Card

__all__ = ("ROUTES", "ShelfRow", "shelf_rows")


@dataclass(frozen=True, slots=True)
class ShelfRow:
    """One card of the shelf."""

    file: str
    name: str
    cone: str
    atmosphere: str
    use: str
    picture: OxidePicture | None
    answers: tuple[tuple[str, str, str], ...]  # what it is about, the word, its meaning
    stops: tuple[str, ...]
    words: str  # by which it is found


def shelf(bench: Bench, asked: Asked) -> pages.Response:
    """Show the shelf, or what of it a search finds."""
    if not bench.studio.root.is_dir():
        raise Refusal(
            404,
            "The folder is gone",
            f"“{bench.studio.name}” was moved, renamed or deleted. Put it back, or open the workbench on its new place.",
        )
    if bench.studio.is_empty():
        return pages.go_to("/start")
    wanted = asked.query.get("q", "").strip()[:200]
    rows, not_read = shelf_rows(bench)
    found = [row for row in rows if all(word in row.words for word in wanted.casefold().split())]
    legend = {(about, word): meaning for row in rows for about, word, meaning in row.answers}
    told = [
        (about, [(w, m) for (of, w), m in legend.items() if of == about and w not in ("-", m.lower())])
        for about in ABOUT
    ]
    folders = filter(None, (bench.studio.why_not(bench.studio.cards_folder),))
    not_read = [*(NotRead("recipes", (Fault(None, why),)) for why in folders), *not_read]
    not_read += [*bench.materials().not_read, *bench.bodies().not_read, *bench.lists_not_read()]
    return pages.page(
        "shelf.html",
        studio=bench.studio.name,
        rows=found,
        total=len(rows),
        wanted=wanted,
        not_read=not_read,
        legend=[(about, words) for about, words in told if words],
    )


def shelf_rows(bench: Bench) -> tuple[list[ShelfRow], list[NotRead]]:
    """Return a row for each card that can be worked out, and the others with their reason."""
    rows, not_read = [], []
    materials = bench.materials()
    for file in bench.studio.cards():
        try:
            if file.reason:
                raise GlazeError(file.reason)
            text = Card(bench.studio, file.path).text() or ""
            key = (file.name, text, materials.edition)
            rows.append(bench.once("row", key, partial(_row, bench, file, text)))
        except GlazeError as error:
            address = "" if file.reason else f"/glaze/{quote(file.name, safe='')}"
            not_read.append(NotRead(file.shown, faults_of(error), address))
    return rows, not_read


def _row(bench: Bench, file: StudioFile, text: str) -> ShelfRow:
    report = bench.report(file.name, text)
    recipe = report.batch.recipe
    answers = tuple((reading.about, reading.word, reading.title) for reading in report.readings)
    stops = dict.fromkeys(c.title for c in report.cautions if c.severity == "stop" or c.never_folded)
    cone, name = heat_words(report.cone), recipe.name or file.shown
    lines = (line.material.name for line in report.batch.lines)
    said = (
        file.shown,
        name,
        cone,
        report.atmosphere,
        report.use,
        recipe.notes,
        recipe.body,
        *lines,
        *(item.material for item in recipe.ingredients),
    )
    return ShelfRow(
        file=file.name,
        name=name,
        cone=cone,
        atmosphere=report.atmosphere,
        use=report.use,
        picture=oxide_picture(report.unity) if report.unity is not None else None,
        answers=answers,
        stops=tuple(stops),
        words=" ".join(said).casefold(),
    )


ROUTES = ((("GET",), "/", shelf),)
