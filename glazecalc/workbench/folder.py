"""The studio's folder as a value: which files it has for what; nothing outside of it, whatever a link says."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from glazecalc.errors import FileFaultsError
from glazecalc.files.recipe_folder import ENDINGS, in_order
from glazecalc.files.text_file import file_fault
from glazecalc.plain_text import forbidden

__all__ = ("HISTORY", "Studio", "StudioFile", "new_name")

HISTORY = ".glaze-history"
"""The folder in which earlier versions of a file stand, beside the file."""
_BODY = re.compile(r"body.*\.ya?ml\Z", re.IGNORECASE | re.ASCII)
_LISTS = ("prices.csv", "shelf.csv", "firings.csv")
_MOST_FILES = 2000  # this program's own choice
_LONGEST_NAME = 80  # letters of a new name; this program's own choice
# What no system, or not every one, takes as the name of a file.
_NO_NAMES = frozenset(("con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(10))))
_NO_SIGNS = re.compile(r'[/\\:*?"<>|]')
_OTHER_ENDINGS = re.compile(r"\.(?=[^\W\d])\w{1,5}\Z")


@dataclass(frozen=True, slots=True)
class StudioFile:
    """A file of the folder: its name, where it is, and the reason where it is not opened."""

    name: str
    path: Path
    reason: str = ""

    @property
    def shown(self) -> str:
        """The name as text that any page can hold."""
        return os.fsencode(self.name).decode("utf-8", "replace")


@dataclass(frozen=True, slots=True)
class Studio:
    """What a studio has in one folder: `root` is where it really lies.

    Cards are in ``recipes/``; a folder that holds nothing but cards is taken as that of the cards.
    """

    root: Path

    @classmethod
    def at(cls, folder: str | Path) -> Studio:
        """Return the studio of a folder; FileFaultsError where there is none that can be read."""
        try:
            if not str(folder):
                raise file_fault("''", "this is no name of a folder.")
            root = Path(os.path.realpath(folder))
            if not root.is_dir():
                what = "this is a file, not a folder." if root.exists() else "there is no such folder."
                raise file_fault(folder, what, "Give the folder of your studio; an empty one will do.")
            os.scandir(root).close()
        except FileFaultsError:
            raise
        except (OSError, ValueError) as error:
            reason = getattr(error, "strerror", None) or error
            raise file_fault(folder, f"the folder cannot be read: {reason}.") from None
        return cls(root)

    @property
    def name(self) -> str:
        """What the folder is called."""
        return os.fsencode(self.root.name).decode("utf-8", "replace") or "the studio"

    @property
    def cards_folder(self) -> Path:
        """Where cards lie, or will lie."""
        recipes = self.root / "recipes"
        return self.root if not os.path.lexists(recipes) and any(self._loose_cards()) else recipes

    @property
    def materials_folder(self) -> Path:
        """Where the studio's own materials lie, or will lie."""
        return self.root / "materials"

    def cards(self) -> tuple[StudioFile, ...]:
        """Return every file that may be a recipe, ``Blue 2`` before ``Blue 10``."""
        folder = self.cards_folder
        return tuple(self._loose_cards()) if folder == self.root else self._files(folder, _is_card)

    def materials(self) -> tuple[StudioFile, ...]:
        """Return every material file of the studio's own."""
        return self._files(self.materials_folder, lambda name: name.endswith((".yaml", ".yml")))

    def bodies(self) -> tuple[StudioFile, ...]:
        """Return the clay bodies: ``body*.yaml``."""
        return self._files(self.root, lambda name: bool(_BODY.match(name)))

    def lists(self) -> tuple[StudioFile, ...]:
        """Return the prices, the shelf and the firings, those that are there."""
        return self._files(self.root, lambda name: name in _LISTS)

    def tables(self) -> tuple[StudioFile, ...]:
        """Return every CSV file beside the folders: those of `lists`, and others such as results of a laboratory."""
        return self._files(self.root, lambda name: name.lower().endswith(".csv"))

    def is_empty(self) -> bool:
        """Whether there is nothing yet that a studio has."""
        found = self.cards() or self.materials() or self.bodies() or self.lists()
        return not found and not self.why_not(self.cards_folder) and not self.why_not(self.materials_folder)

    def inside(self, path: Path) -> bool:
        """Whether a path leads, by whatever links, to a place within the folder."""
        try:
            return Path(os.path.realpath(path)).is_relative_to(self.root)
        except (OSError, ValueError):
            return False

    def why_not(self, folder: Path) -> str:
        """Return why a folder of the studio is not looked into; empty where it may be, or is not there."""
        if not os.path.lexists(folder):
            return ""
        if not self.inside(folder):
            return f"'{folder.name}' leads out of the studio's folder: nothing of it is read or written."
        try:
            os.scandir(folder).close()
        except OSError as error:
            return f"'{folder.name}' cannot be looked into: {error.strerror or error}."
        return ""

    def _loose_cards(self) -> Iterator[StudioFile]:
        own = (*_LISTS, *(body.name for body in self.bodies()))
        yield from self._files(self.root, lambda name: _is_card(name) and name not in own and "." in name)

    def _files(self, folder: Path, wanted: Callable[[str], bool]) -> tuple[StudioFile, ...]:
        if self.why_not(folder):
            return ()
        try:
            with os.scandir(folder) as entries:
                there = [e for e in entries if not e.name.startswith(".") and wanted(e.name) and not _is_folder(e)]
        except OSError:
            return ()
        names, links = [entry.name for entry in there], {entry.name for entry in there if entry.is_symlink()}
        names.sort(key=lambda name: (in_order(name), name))
        found = [self._file(folder / name, link=name in links) for name in names[:_MOST_FILES]]
        if len(names) > _MOST_FILES:
            said = f"the folder holds {len(names):,} files; from here on they are not looked into."
            found.append(StudioFile(names[_MOST_FILES], folder / names[_MOST_FILES], said))
        return tuple(found)

    def _file(self, path: Path, *, link: bool) -> StudioFile:
        reason = ""
        if link and not self.inside(path):
            reason = "it is a link that leads out of the studio's folder; it is left alone."
        elif forbidden(path.name):
            reason = "its name holds characters that no page can show. Give it another name."
        return StudioFile(path.name, path, reason)


def _is_folder(entry: os.DirEntry[str]) -> bool:
    try:
        return entry.is_dir()
    except OSError:  # a link that leads to itself
        return False


def _is_card(name: str) -> bool:
    return os.path.splitext(name)[1].lower() in ENDINGS


def new_name(typed: str, taken: tuple[StudioFile, ...]) -> str:
    """Return the name of a new card file from what was typed, ``.txt`` behind it where no ending is.

    Raises FileFaultsError for a name that some system would not take, and for one that is taken, capitals not counted.
    """
    name = " ".join(typed.split())
    shown = name[:40] or "''"
    if not name or name.startswith("."):
        raise file_fault(shown, "this is no name of a file.", "Write a name such as 'harbour-black'.")
    if forbidden(name) or _NO_SIGNS.search(name):
        raise file_fault(shown, 'a name cannot hold / \\ : * ? " < > | or hidden characters.', "Leave them out.")
    if os.path.splitext(name)[1].lower() not in ENDINGS or "." not in name:
        if _OTHER_ENDINGS.search(name):
            raise file_fault(shown, "this ending is not that of a card.", "Cards end in .txt, .yaml or .csv.")
        name += ".txt"
    stem, _, _ = name.partition(".")
    if len(name) > _LONGEST_NAME or len(name.encode("utf-8")) > 200:
        raise file_fault(shown, f"a name of more than {_LONGEST_NAME} letters is too long.", "Choose a shorter one.")
    if not stem.strip() or stem.strip().lower() in _NO_NAMES:
        raise file_fault(shown, "some systems keep this name for themselves.", "Choose another.")
    if any(file.name.casefold() == name.casefold() for file in taken):
        raise file_fault(shown, f"there is a card '{name}' already.", "Choose another name.")
    return name
