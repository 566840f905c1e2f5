"""A card saved as it was typed: whole or not at all, never over what one has not seen, with the text before kept beside it."""

from __future__ import annotations

import hashlib
import os
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from time import monotonic, sleep

from glazecalc.errors import FileFaultsError
from glazecalc.files.text_file import file_fault, read_text, refuse_what_is_no_text, write_all
from glazecalc.workbench.folder import Studio
from glazecalc.workbench.history import History, Version
from glazecalc.workbench.line_ends import as_the_file_has_them, for_a_form

__all__ = ("NOT_THERE", "Card", "ChangedMeanwhileError", "digest_of")

NOT_THERE = "none"
"""What stands in place of a digest where there is no file."""
_LOCK = threading.Lock()
_LONGEST_WAIT_S = 3.0  # for another workbench on the same folder; this program's own choice


def digest_of(text: str | None) -> str:
    """Return by which a text of a file is known again; `NOT_THERE` for a file that is not there."""
    return NOT_THERE if text is None else hashlib.sha256(text.encode("utf-8", "surrogatepass")).hexdigest()


class ChangedMeanwhileError(Exception):
    """The file is not what the page had shown: `on_disk` is its text now, None where it is gone."""

    def __init__(self, on_disk: str | None) -> None:
        super().__init__(on_disk)
        self.on_disk = on_disk


@dataclass(frozen=True, slots=True)
class Card:
    """The file of a card within the studio's folder."""

    studio: Studio
    path: Path

    @property
    def history(self) -> History:
        """Its earlier versions."""
        return History(self.studio, self.path)

    def text(self) -> str | None:
        """Return what the file holds, byte for byte; None where there is none. FileFaultsError where it cannot be read as text."""
        if not os.path.lexists(self.path):
            return None
        if not self.studio.inside(self.path):
            raise file_fault(self.path.name, "it is a link that leads out of the studio's folder; it is left alone.")
        with named(self.path):
            return read_text(self.path)

    def save(self, typed: str, seen: str) -> bool:
        """Write what was typed; return whether anything had to be written.

        `seen` is the digest of the text that the page had shown. ChangedMeanwhileError where the file holds another one now; FileFaultsError
        where it cannot be written or what was typed is no text. Nothing is changed then.
        """
        with self._alone(), named(self.path):
            before = self._as_seen(seen)
            text = as_the_file_has_them(typed, before or "")
            refuse_what_is_no_text(text, self.path)
            if text == before:
                return False
            if before is not None:
                self._keep(before)
            self._write(text, new=before is None)
            self._stand_at(None)
            return True

    def back(self, typed: str, seen: str) -> bool:
        """Go back: from what was typed and not saved to what is saved, else to the version before; False where there is none.

        Errors are those of `save`. What was typed and not saved is kept as the version after.
        """
        with self._alone(), named(self.path):
            before = self._as_seen(seen)
            if before is None:
                return False
            if typed and for_a_form(typed) != for_a_form(before):
                text = as_the_file_has_them(typed, before)
                refuse_what_is_no_text(text, self.path)
                here = self._keep(before)
                self.history.keep(text, datetime.now())
                self.history.stand_at(here)
                return True
            at = self.history.place(before)
            if at == 0:
                return False
            if at == len(self.history.versions()):
                self.history.keep(before, self._saved_at())
            return self._go_to(at - 1)

    def forth(self, seen: str) -> bool:
        """Go to the version after the one that the card holds; False where there is none. Errors are those of `save`."""
        with self._alone(), named(self.path):
            before = self._as_seen(seen)
            at = self.history.place(before) if before is not None else 0
            if before is None or at + 1 >= len(self.history.versions()):
                return False
            return self._go_to(at + 1)

    def _go_to(self, at: int) -> bool:
        version = self.history.versions()[at]
        self._write(version.text(), new=False)
        self._stand_at(version)
        return True

    def _stand_at(self, version: Version | None) -> None:
        # the card is written: that the note beside it cannot be made is no reason to call it unsaved
        with suppress(FileFaultsError):
            self.history.stand_at(version)

    def _keep(self, before: str) -> Version:
        """Keep the text that the file holds, where it is not the last version already; return its version."""
        history = self.history
        versions, at = history.versions(), history.place(before)
        if versions and at == len(versions) - 1:
            return versions[at]
        return history.keep(before, self._saved_at())

    def _saved_at(self) -> datetime:
        try:
            return datetime.fromtimestamp(self.path.stat().st_mtime)
        except (OSError, OverflowError, ValueError):
            return datetime.now()

    def _write(self, text: str, *, new: bool) -> None:
        if not self.studio.inside(self.path):
            raise file_fault(self.path.name, "it leads out of the studio's folder: nothing is written there.")
        try:
            self.path.parent.mkdir(
                exist_ok=True
            )  # never the studio's folder itself, which was there: its disk may be out
        except OSError as error:
            raise file_fault(self.path.name, f"the folder cannot be made: {error.strerror or error}.") from None
        write_all([(self.path, text)], replace=not new)

    def _as_seen(self, seen: str) -> str | None:
        on_disk = self.text()
        if digest_of(on_disk) != seen:
            raise ChangedMeanwhileError(on_disk)
        return on_disk

    @contextmanager
    def _alone(self) -> Iterator[None]:
        """Let no other window, and no other workbench on the same folder, save at the same moment."""
        with _LOCK, _folder_lock(self.path.parent, self.studio):
            yield


@contextmanager
def named(path: Path) -> Iterator[None]:
    """Let errors name a file of the folder without the way to it."""
    try:
        yield
    except FileFaultsError as error:
        raise FileFaultsError(path.name, error.faults) from None


@contextmanager
def _folder_lock(folder: Path, studio: Studio) -> Iterator[None]:
    """Hold a folder for this process; where the system cannot, go on: what the page has seen is looked at in any case."""
    handle = None
    try:
        if folder.is_dir() and studio.inside(folder):
            handle = os.open(folder, os.O_RDONLY)
            _lock(handle, folder)
    except OSError:
        pass
    try:
        yield
    finally:
        if handle is not None:
            os.close(handle)  # which gives the lock back


def _lock(handle: int, path: Path) -> None:
    try:
        import fcntl
    except ImportError:
        return
    until = monotonic() + _LONGEST_WAIT_S
    while True:
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            if monotonic() > until:
                said = "another workbench is saving in this folder."
                raise file_fault(path.name, said, "Try again in a moment; nothing has been changed.") from None
            sleep(0.02)
        else:
            return
