"""What a running workbench holds between requests: the folder, and what was worked out from files that have not changed since."""

from __future__ import annotations

import re
import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass, replace
from itertools import count
from pathlib import Path
from typing import Any, TypeVar

from glazecalc.body import ClayBody
from glazecalc.check_report import CheckReport, check
from glazecalc.errors import MOST_FAULTS, Fault, GlazeError
from glazecalc.files.bodies import read_body
from glazecalc.files.firings import read_firings
from glazecalc.files.materials import load_materials, read_material
from glazecalc.files.recipes import parse_recipe
from glazecalc.files.shelf import read_shelf
from glazecalc.library import MaterialLibrary
from glazecalc.workbench.folder import Studio, StudioFile
from glazecalc.workbench.lan import Phones
from glazecalc.workbench.saving import Card, named

__all__ = ("Bench", "Bodies", "Materials", "NotRead", "faults_of")

T = TypeVar("T")
# How many of each are kept, the oldest go; this program's own choice. A row of the shelf is small, a whole report is not.
_MOST_KEPT = {"materials": 2, "bodies": 2, "lists": 2, "report": 40, "row": 2000}
# commands that a hint names, and the pages that do the same
_PAGES = (
    (re.compile(r"'glazecalc materials' lists all; --materials DIR adds your own\."), "All are under Materials."),
    (
        re.compile(r"For a bag of your own, a sheet to fill in: glazecalc .+", re.DOTALL),
        "For a bag of your own: Materials, New bag.",
    ),
)


@dataclass(frozen=True, slots=True)
class NotRead:
    """A file of the studio that could not be read, with every fault; `address` is its page, where it has one."""

    file: str
    faults: tuple[Fault, ...]
    address: str = ""


@dataclass(frozen=True, slots=True)
class Materials:
    """The library with the studio's own materials over it, and which of their files could not be read."""

    edition: int
    library: MaterialLibrary
    not_read: tuple[NotRead, ...]


@dataclass(frozen=True, slots=True)
class Bodies:
    """The studio's clay bodies by the name of their file, and which files could not be read."""

    edition: int
    by_file: dict[str, ClayBody]
    not_read: tuple[NotRead, ...]


class Bench:
    """One folder and what was worked out from its files; safe to use from threads."""

    def __init__(self, studio: Studio, phones: Phones | None = None) -> None:
        self.studio, self.phones = studio, phones
        self._lock = threading.RLock()
        self._kept: dict[str, OrderedDict[Hashable, Any]] = {kind: OrderedDict() for kind in _MOST_KEPT}
        self._editions = count(1)

    def materials(self) -> Materials:
        """Return the library as the files of ``materials/`` have it now."""
        files = self.studio.materials()
        return self.once("materials", _stamps(files), lambda: self._load(files))

    def bodies(self) -> Bodies:
        """Return the clay bodies as their files have them now."""
        files = self.studio.bodies()
        return self.once("bodies", _stamps(files), lambda: self._read_bodies(files))

    def lists_not_read(self) -> tuple[NotRead, ...]:
        """Return the lists of prices, stock and firings that cannot be read as they are now."""
        files, materials = self.studio.lists(), self.materials()
        return self.once("lists", (_stamps(files), materials.edition), lambda: _read_lists(files, materials.library))

    def card(self, name: str) -> Card | None:
        """Return the card of this name; None where the folder has none."""
        found = next((file for file in self.studio.cards() if file.name == name), None)
        return None if found is None else Card(self.studio, found.path)

    def report(self, name: str, text: str, body: str = "") -> CheckReport:
        """Return what a card of this text comes to; GlazeError where it cannot be worked out.

        `name` is that of its file, whose ending says how it is read; `body` is the file of a clay body.
        """
        materials, bodies = self.materials(), self.bodies()
        clay = bodies.by_file.get(body)

        def work_out() -> CheckReport:
            return check(parse_recipe(text, name), materials.library, body=clay)

        return self.once("report", (name, text, materials.edition, body, bodies.edition), work_out)

    def _load(self, files: tuple[StudioFile, ...]) -> Materials:
        why = self.studio.why_not(self.studio.materials_folder)
        not_read = [NotRead("materials", (Fault(None, why),))] if why else []
        bundled, own = load_materials(), []
        for file in files:
            try:
                if file.reason:
                    raise GlazeError(file.reason)
                with named(file.path):
                    own.append(read_material(file.path))
            except GlazeError as error:
                not_read.append(NotRead(file.shown, faults_of(error)))
        try:
            return Materials(next(self._editions), MaterialLibrary([*bundled.materials, *own]), tuple(not_read))
        except GlazeError as error:
            return Materials(next(self._editions), bundled, (*not_read, NotRead("materials", faults_of(error))))

    def _read_bodies(self, files: Iterable[StudioFile]) -> Bodies:
        found, not_read = {}, []
        for file in files:
            try:
                if file.reason:
                    raise GlazeError(file.reason)
                found[file.name] = read_body(file.path)
            except GlazeError as error:
                not_read.append(NotRead(file.shown, faults_of(error)))
        return Bodies(next(self._editions), found, tuple(not_read))

    def once(self, kind: str, key: Hashable, made: Callable[[], T]) -> T:
        """Return what was made for `key`, made now where it was not."""
        kept = self._kept[kind]
        with self._lock:  # held while it is made: two windows do not do the same work twice
            if key in kept:
                kept.move_to_end(key)
                found: T = kept[key]
                return found
            value = kept[key] = made()
            while len(kept) > _MOST_KEPT[kind]:
                kept.popitem(last=False)
            return value


def faults_of(error: GlazeError) -> tuple[Fault, ...]:
    """Return the single faults of an error, itself where it has none; what a command would do has a page here, and is called by it."""
    faults = error.faults[:MOST_FAULTS] or (Fault(None, error.message, error.hint),)
    return tuple(replace(fault, hint=_by_pages(fault.hint)) for fault in faults)


def _by_pages(hint: str) -> str:
    for command, words in _PAGES:
        hint = command.sub(words, hint)
    return hint


def _read_lists(files: Iterable[StudioFile], library: MaterialLibrary) -> tuple[NotRead, ...]:
    not_read = []
    for file in files:
        try:
            if file.reason:
                raise GlazeError(file.reason)
            if file.name == "firings.csv":
                read_firings(file.path)
            else:
                read_shelf(file.path, library)
        except GlazeError as error:
            not_read.append(NotRead(file.shown, faults_of(error)))
    return tuple(not_read)


def _stamps(files: Iterable[StudioFile]) -> tuple[tuple[str, int, int], ...]:
    """Return by what one sees that a file has changed: its time and its size."""
    return tuple((file.name, *_stamp(file.path)) for file in files)


def _stamp(path: Path) -> tuple[int, int]:
    try:
        found = path.stat()
    except OSError:
        return 0, 0
    return found.st_mtime_ns, found.st_size
