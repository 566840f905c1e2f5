"""One glaze: the card as it is typed beside what it comes to; saved, undone, and gone back to."""

from __future__ import annotations

import re
from contextlib import suppress
from dataclasses import dataclass
from typing import Any
from urllib.parse import quote, urlencode

from starlette.exceptions import HTTPException

from glazecalc.errors import FileFaultsError, GlazeError
from glazecalc.files.recipes import parse_recipe
from glazecalc.plain_text import visible
from glazecalc.workbench import pages
from glazecalc.workbench.app import Asked
from glazecalc.workbench.bench import Bench, faults_of
from glazecalc.workbench.folder import new_name
from glazecalc.workbench.line_ends import for_a_form, same_lines
from glazecalc.workbench.saving import NOT_THERE, Card, ChangedMeanwhileError, digest_of
from glazecalc.workbench.worked_out import WorkedOut, work_out

__all__ = ("ROUTES",)

_SAID = {
    "saved": "Saved. The text before is kept under Earlier versions.",
    "first": "Saved.",
    "same": "Nothing was to be saved: the file holds this text already.",
    "back": "Gone back one step. Redo goes forth again.",
    "no-back": "There is no earlier version.",
    "forth": "Gone forth one step.",
    "no-forth": "There is no later version.",
    "put-back": "This earlier version is the card again; the text before is kept.",
}
_NEW = "New glaze   cone 6 ox\n"


@dataclass(frozen=True, slots=True)
class _Desk:
    """What lies on the desk: the text as typed, what the page has seen of the file, and what is to be said."""

    name: str
    text: str
    seen: str
    body: str = ""
    said: str = ""
    faults: tuple[str, ...] = ()
    on_disk: str | None = None  # the file's text, where it is not what the page had shown
    conflict: bool = False


def glaze(bench: Bench, asked: Asked) -> pages.Response:
    """Show a card, or do with it what a button says."""
    name = asked.names["name"]
    card = bench.card(name)
    if asked.method == "POST":
        return _done(bench, card or _gone(bench, name), name, asked)
    if card is None:
        raise HTTPException(404)
    body = asked.query.get("body", "")
    try:
        text = card.text()
    except FileFaultsError as error:
        return pages.page("not_read.html", name=name, faults=faults_of(error))
    if text is None:
        raise HTTPException(404)
    said = _SAID.get(asked.query.get("said", ""), "")
    return _page(bench, _Desk(name, for_a_form(text), digest_of(text), body, said), saved=text)


def _gone(bench: Bench, name: str) -> Card:
    """Return the card of a file that was deleted while its page was open, so that what was typed is not lost."""
    try:
        if new_name(name, bench.studio.cards()) != name:
            raise HTTPException(404)
    except FileFaultsError:
        raise HTTPException(404) from None
    return Card(bench.studio, bench.studio.cards_folder / name)


def _done(bench: Bench, card: Card, name: str, asked: Asked) -> pages.Response:
    form = asked.form
    typed, seen, body, do = (form.get(key, "") for key in ("text", "seen", "body", "do"))
    desk = _Desk(name, for_a_form(typed), seen, body)
    try:
        match do:
            case "save":
                here = _there(card)
                said = "same" if not card.save(typed, seen) else "saved" if here else "first"
            case "undo":
                said = "back" if card.back(typed, seen) else "no-back"
            case "redo":
                if _unsaved(card, typed):
                    told = "What you typed is not saved yet. Save it, or undo it, before you go forth."
                    return _page(
                        bench, _Desk(name, desk.text, seen, body, faults=(told,)), saved=card.text(), status=409
                    )
                said = "forth" if card.forth(seen) else "no-forth"
            case "put-back":
                said = "put-back" if card.save(_version(card, form).text(), seen) else "same"
            case "save-as":
                return _saved_as(bench, desk, typed, form.get("as", ""), card)
            case _:
                return _page(bench, desk, saved=card.text())
    except ChangedMeanwhileError as error:
        return _page(
            bench,
            _Desk(name, desk.text, digest_of(error.on_disk), body, on_disk=error.on_disk, conflict=True),
            saved=error.on_disk,
            status=409,
        )
    except FileFaultsError as error:
        return _page(
            bench, _Desk(name, desk.text, seen, body, faults=_sentences(error)), saved=_text_or_none(card), status=409
        )
    return _look(name, said, body)


def _look(name: str, said: str, body: str) -> pages.Response:
    query = urlencode({key: value for key, value in (("said", said), ("body", body)) if value})
    return pages.go_to(f"/glaze/{quote(name, safe='')}?{query}")


def _saved_as(bench: Bench, desk: _Desk, typed: str, as_typed: str, card: Card | None) -> pages.Response:
    try:
        name = new_name(as_typed, bench.studio.cards())
        Card(bench.studio, bench.studio.cards_folder / name).save(typed, NOT_THERE)
    except ChangedMeanwhileError:
        faults: tuple[str, ...] = (f"There is a card '{as_typed}' already. Choose another name.",)
    except FileFaultsError as error:
        faults = _sentences(error)
    else:
        return _look(name, "first", desk.body)
    at = _Desk(desk.name, desk.text, desk.seen, desk.body, faults=faults)
    return _page(bench, at, saved=_text_or_none(card) if card else None, status=409, save_as=as_typed)


def new(bench: Bench, asked: Asked) -> pages.Response:
    """Show an empty card, and save it under its name."""
    if asked.method == "GET":
        return _page(bench, _Desk("", _NEW, NOT_THERE), saved=None, found=WorkedOut(None, (), None))
    typed, body = asked.form.get("text", ""), asked.form.get("body", "")
    desk = _Desk("", for_a_form(typed), NOT_THERE, body)
    if asked.form.get("do") in ("save", "save-as"):
        return _saved_as(bench, desk, typed, asked.form.get("as", "").strip() or _file_name(typed), None)
    return _page(bench, desk, saved=None, save_as=asked.form.get("as", ""))


def worked(bench: Bench, asked: Asked) -> pages.Response:
    """Work out what is typed, for the script of the page."""
    name, text, body = (asked.form.get(key, "") for key in ("name", "text", "body"))
    card = bench.card(name) if name else None
    saved = _text_or_none(card) if card is not None else None
    found = work_out(bench, name or "new.txt", text, body=body, saved=saved)
    return pages.as_json(
        {
            "title": visible(_title(bench, name, found, saved)),
            "marks": [[mark.line, mark.kind, mark.text] for mark in found.marks],
            "beside": pages.html(
                "beside.html", found=found, unsaved=saved is None or for_a_form(saved) != for_a_form(text)
            ),
            "answer": pages.answer(found.report) if found.report is not None else None,
        }
    )


def version(bench: Bench, asked: Asked) -> pages.Response:
    """Show an earlier version of a card."""
    card = bench.card(asked.names["name"])
    if card is None:
        raise HTTPException(404)
    found = _version(card, asked.names)
    try:
        text, now = found.text(), card.text()
    except FileFaultsError as error:
        return pages.page("not_read.html", name=asked.names["name"], faults=faults_of(error))
    different = _different(for_a_form(text), for_a_form(now or ""))
    return pages.page("version.html", name=asked.names["name"], version=found, lines=different, seen=digest_of(now))


def _version(card: Card, names: Any) -> Any:
    number = names.get("number", "")
    found = next((one for one in card.history.versions() if str(one.number) == number), None)
    if found is None:
        raise HTTPException(404)
    return found


def _page(
    bench: Bench,
    desk: _Desk,
    *,
    saved: str | None,
    status: int = 200,
    save_as: str = "",
    found: WorkedOut | None = None,
) -> pages.Response:
    found = found or work_out(bench, desk.name or "new.txt", desk.text, body=desk.body, saved=saved)
    card = bench.card(desk.name) if desk.name else None
    bodies = bench.bodies()
    return pages.page(
        "glaze.html",
        status,
        desk=desk,
        title=_title(bench, desk.name, found, saved),
        found=found,
        answer=pages.answer(found.report) if found.report is not None else None,
        unsaved=saved is None or for_a_form(saved) != desk.text,
        lines=_lines(desk.text, found),
        versions=tuple(reversed(card.history.versions()))[:200] if card is not None else (),
        bodies=tuple((file, body.name) for file, body in bodies.by_file.items()),
        different=_different(for_a_form(desk.on_disk), desk.text) if desk.on_disk is not None else (),
        left_out=bench.materials().not_read,
        save_as=save_as,
    )


def _title(bench: Bench, name: str, found: WorkedOut, saved: str | None) -> str:
    """Return what the card is called: as typed, else as saved, else by its file."""
    report = found.report
    if report is None and saved is not None:
        with suppress(GlazeError):
            report = bench.report(name, saved)
    return (report.batch.recipe.name if report is not None else "") or name or "New glaze"


def _file_name(card: str) -> str:
    """Return a name for the file of a card that gives none: the words of its title, whatever is wrong in the lines below it."""
    title = ""
    for text in (card, f"{for_a_form(card).split(chr(10))[0]}\nany 1\n"):
        with suppress(GlazeError):
            title = parse_recipe(text, "new.txt").name
            break
    return "-".join(re.findall(r"\w+", title.lower()))[:60]


def _lines(text: str, found: WorkedOut) -> tuple[tuple[int, str], ...]:
    """Return each line's number with the kind of its mark, empty where it has none."""
    kinds: dict[int | None, str] = {}
    for mark in found.marks:
        if kinds.get(mark.line) != "wrong":
            kinds[mark.line] = mark.kind
    return tuple((number, kinds.get(number, "")) for number in range(1, text.count("\n") + 2))


def _different(old: str, new: str) -> tuple[tuple[str, str], ...]:
    """Return the lines of two texts with a sign each: ``-`` stands in the old one alone, ``+`` in the new one alone."""
    left, right = old.splitlines(), new.splitlines()
    found: list[tuple[str, str]] = []
    from_old = from_new = 0
    for at, to, length in same_lines(left, right):
        found += [("-", line) for line in left[from_old:at]]
        found += [("+", line) for line in right[from_new:to]]
        found += [(" ", line) for line in left[at : at + length]]
        from_old, from_new = at + length, to + length
    return tuple(found)


def _sentences(error: GlazeError) -> tuple[str, ...]:
    def told(line: int | None, message: str, hint: str) -> str:
        text = f"{message} {hint}".strip()
        return f"Line {line}: {text}" if line is not None else text[:1].upper() + text[1:]

    return tuple(told(fault.line, fault.message, fault.hint) for fault in faults_of(error))


def _unsaved(card: Card, typed: str) -> bool:
    text = _text_or_none(card)
    return text is not None and for_a_form(typed) != for_a_form(text)


def _there(card: Card) -> bool:
    return _text_or_none(card) is not None


def _text_or_none(card: Card) -> str | None:
    try:
        return card.text()
    except FileFaultsError:
        return None


ROUTES = (
    (("GET", "POST"), "/new", new),
    (("POST",), "/work-out", worked),
    (("GET", "POST"), "/glaze/{name}", glaze),
    (("GET",), "/glaze/{name}/earlier/{number}", version),
)
