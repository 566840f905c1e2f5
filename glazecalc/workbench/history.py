"""Earlier versions of a card: plain files beside it, one folder a card, in the order in which the card held them.

``recipes/.glaze-history/harbour-black.txt/0003 2026-05-04 17.20.11.txt`` is the third text that the card held, saved at that time. A version is never
changed and none is taken away. ``now.txt`` beside them says which version the card holds while one goes back and forth.
"""

from __future__ import annotations

import re
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from glazecalc.errors import FileFaultsError
from glazecalc.files.text_file import file_fault, read_text, write_text_atomically
from glazecalc.workbench.folder import HISTORY, Studio

__all__ = ("History", "Version")

_VERSION = re.compile(r"(?P<number>\d{4,6}) (?P<when>\d{4}-\d\d-\d\d \d\d\.\d\d\.\d\d)(?:\.\w+)?\Z", re.ASCII)
_WHEN = "%Y-%m-%d %H.%M.%S"
_NOW = "now.txt"


@dataclass(frozen=True, slots=True)
class Version:
    """One text that the card held, and when that was saved."""

    number: int
    when: datetime
    path: Path

    def text(self) -> str:
        """Return it; FileFaultsError where it is gone or cannot be read."""
        return read_text(self.path)


@dataclass(frozen=True, slots=True)
class History:
    """The versions of one card; what the card holds itself is given to each question."""

    studio: Studio
    card: Path

    @property
    def folder(self) -> Path:
        """Where they stand."""
        return self.card.parent / HISTORY / self.card.name

    def versions(self) -> tuple[Version, ...]:
        """Return every version, the oldest first."""
        if not self.studio.inside(self.folder):
            return ()
        try:
            names = [path.name for path in self.folder.iterdir()]
        except OSError:
            return ()
        found = []
        for match in filter(None, map(_VERSION.match, names)):
            try:
                when = datetime.strptime(match["when"], _WHEN)
            except ValueError:
                continue
            found.append(Version(int(match["number"]), when, self.folder / match[0]))
        return tuple(sorted(found, key=lambda version: (version.number, version.path.name)))

    def place(self, text: str) -> int:
        """Return at which of `versions` the card stands that holds `text`; their number where it is at none, newer than all."""
        versions = self.versions()
        try:
            number = int(read_text(self.folder / _NOW).strip() or 0)
        except (FileFaultsError, ValueError):
            number = 0
        for at, version in enumerate(versions):
            if version.number == number and _holds(version, text):
                return at
        last = len(versions) - 1
        return last if versions and _holds(versions[last], text) else len(versions)

    def keep(self, text: str, when: datetime) -> Version:
        """Add a text to the versions; FileFaultsError where it cannot be written."""
        self._make_folder()
        versions = self.versions()
        number = versions[-1].number + 1 if versions else 1
        path = (
            self.folder / f"{number:04d} {when.strftime(_WHEN)}{self.card.suffix if self.card.suffix.isascii() else ''}"
        )
        write_text_atomically(path, text)
        return Version(number, when, path)

    def stand_at(self, version: Version | None) -> None:
        """Note that the card holds this version, or with None a text that is newer than all."""
        now = self.folder / _NOW
        if now.is_symlink():  # no note of ours: it would be written wherever that leads
            with suppress(OSError):
                now.unlink()
        if version is not None:
            self._make_folder()
            write_text_atomically(now, f"{version.number}\n")
        elif now.is_file():
            write_text_atomically(now, "0\n")

    def _make_folder(self) -> None:
        if not self.studio.inside(self.folder):
            raise file_fault(HISTORY, "it leads out of the studio's folder: nothing is written there.")
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            said = f"the earlier versions cannot be kept: {error.strerror or error}."
            raise file_fault(HISTORY, said, "Nothing has been changed.") from None


def _holds(version: Version, text: str) -> bool:
    try:
        return version.text() == text
    except FileFaultsError:
        return False
