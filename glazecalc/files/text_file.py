"""Reading bytes from a user's file into text, and writing text and pictures whole or not at all."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path

from glazecalc.errors import Fault, FileFaultsError, did_you_mean
from glazecalc.plain_text import code_point, forbidden

__all__ = (
    "LONGEST_LINE",
    "file_fault",
    "only_within",
    "read_text",
    "refuse_what_is_no_text",
    "write_all",
    "write_text_atomically",
)

_LARGEST_BYTES = 1_000_000
LONGEST_LINE = 20_000
"""Letters in a line of a file; no pattern sees a longer one."""
_AS_THEY_ARE = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0) | getattr(os, "O_CLOEXEC", 0)
_WITHIN: ContextVar[tuple[Path, ...]] = ContextVar("within", default=())


@contextmanager
def only_within(*folders: str | Path) -> Iterator[None]:
    """Read and write no file that lies, by whatever links, outside of these folders while the block runs: for who reads on behalf of a stranger."""
    token = _WITHIN.set(tuple(Path(os.path.realpath(folder)) for folder in folders))
    try:
        yield
    finally:
        _WITHIN.reset(token)


def file_fault(path: str | Path, message: str, hint: str = "", line: int | None = None) -> FileFaultsError:
    """Return the error for a file in which one thing is wrong."""
    return FileFaultsError(str(path), [Fault(line, message, hint)])


def read_text(path: str | Path, *, most_bytes: int = _LARGEST_BYTES) -> str:
    """Return the text of a user's file, line ends and a byte order mark as they are.

    Raises FileFaultsError if it is missing, no regular file, unreadable, too large, binary or not UTF-8, and for a line
    that is too long or holds a character that no text may carry.
    """
    try:
        data = _read_bytes(path, most_bytes)
    except FileFaultsError:
        raise
    except FileNotFoundError:
        raise file_fault(path, "there is no such file.", _near_files(Path(path))) from None
    except (OSError, ValueError) as error:
        raise file_fault(path, f"the file cannot be read: {getattr(error, 'strerror', None) or error}.") from None
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise file_fault(path, "the file is UTF-16.", "Save it as UTF-8.", 1)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        said = f"byte {data[error.start]:#04x} is not UTF-8 text."
        raise file_fault(path, said, "Save the file as UTF-8.", data[: error.start].count(b"\n") + 1) from None
    refuse_what_is_no_text(text, path)
    return text


def refuse_what_is_no_text(text: str, path: str | Path) -> None:
    """Raise FileFaultsError for a line that is too long or holds a character that no text may carry."""
    bad = forbidden(text, lines=True)
    if bad is not None:
        said = f"the file holds the control character {code_point(bad[0])}: is it text?"
        raise file_fault(path, said, "Take it out.", text.count("\n", 0, bad.start()) + 1)
    for line, content in enumerate(text.split("\n"), start=1):
        if len(content) > LONGEST_LINE:
            raise file_fault(path, f"the line has more than {LONGEST_LINE} letters.", "Is it the right file?", line)


def _read_bytes(path: str | Path, most_bytes: int) -> bytes:
    """Open once, without waiting for a writer at the other end, and judge what is open; not what stood there before."""
    if Path(path).is_dir():  # some systems cannot open a folder at all
        raise file_fault(path, "this is a folder, not a file.")
    with os.fdopen(os.open(path, _AS_THEY_ARE), "rb") as handle:
        found = os.fstat(handle.fileno())
        if not stat.S_ISREG(found.st_mode):
            raise file_fault(path, "this is a pipe or a device, not a file.", "Save it in a file.")
        _refuse_what_lies_outside(path, Path(os.path.realpath(path)), found)
        data = b"" if found.st_size > most_bytes else handle.read(most_bytes + 1)
    if max(found.st_size, len(data)) > most_bytes:
        raise file_fault(path, f"the file is larger than {most_bytes // 1000} kB.", "Is it the right file?")
    return data


def _refuse_what_lies_outside(path: str | Path, place: Path, opened: os.stat_result | None = None) -> None:
    """Refuse a place outside of the folders of `only_within`; `opened` is what was opened, which a link may have led elsewhere than it leads now."""
    folders = _WITHIN.get()
    if not folders:
        return
    same = opened is None or os.path.samestat(opened, os.lstat(place))
    if not same or not any(place.is_relative_to(folder) for folder in folders):
        raise file_fault(path, "it leads out of the folder that is worked in; it is left alone.")


def _near_files(file: Path) -> str:
    try:
        return did_you_mean(file.name, [entry.name for entry in file.parent.iterdir()][:500])
    except OSError:
        return ""


def write_text_atomically(path: str | Path, text: str) -> None:
    """Write one file whole or not at all; an existing one is replaced. Raises FileFaultsError as `write_all` does."""
    write_all([(path, text)], replace=True)


def write_all(
    texts: Sequence[tuple[str | Path, str | bytes]], *, read: Iterable[str | Path] = (), replace: bool = False
) -> None:
    """Write every text (or the bytes of a picture) of a call to its file, or none of them: the one place from which a file is written.

    All are first written to temporary files beside their places, then moved. Line ends stay as they are in the text; the
    permissions of an existing file are kept. `read` are the files and folders that the call has read. Raises FileFaultsError
    for a place that is one of them or another place of the call (by whatever name or link), that is no regular file, that
    exists already without `replace`, or that cannot be written; nothing is changed then.
    """
    places = [_place(path) for path, _ in texts]
    _refuse_what_is_read(texts, places, read)
    for at, ((path, _), place) in enumerate(zip(texts, places, strict=True)):
        if any(_same(place, other) for other in places[:at]):
            raise file_fault(path, "two outputs would go to this file.", "Give each its own.")
        if place.exists() and not replace:
            raise file_fault(path, "this file exists already.", "Add --replace to write over it, or give another name.")
    written: list[Path] = []  # temporary files
    moved: list[tuple[Path, bytes | None]] = []  # places that are new already, with what stood there
    try:
        for (path, text), place in zip(texts, places, strict=True):
            with _told(path):
                written.append(_temporary(place, text.encode("utf-8") if isinstance(text, str) else text))
        for (path, _), temporary, place in zip(texts, written, places, strict=True):
            with _told(path):
                before = place.read_bytes() if len(places) > 1 and place.exists() else None
                _move(temporary, place, replace=replace)
                moved.append((place, before))
    except BaseException:
        for place, stood in moved:
            if stood is None:
                place.unlink(missing_ok=True)
            else:
                os.replace(_temporary(place, stood), place)
        raise
    finally:
        for temporary in written:
            temporary.unlink(missing_ok=True)


@contextmanager
def _told(path: str | Path) -> Iterator[None]:
    """Tell what the system says against `path` as a fault of that file."""
    try:
        yield
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        raise file_fault(path, f"the file cannot be written: {reason}.", "Nothing has been changed.") from None


def _place(path: str | Path) -> Path:
    """Return where `path` leads in the end; what is there and no regular file is refused."""
    if not str(path):
        raise file_fault("''", "this is no name of a file.")
    with _told(path):
        place = Path(os.path.realpath(path))
        mode = place.stat().st_mode if place.is_symlink() or place.exists() else None
    _refuse_what_lies_outside(path, place)
    if mode is not None and not stat.S_ISREG(mode):
        what = "a folder" if stat.S_ISDIR(mode) else "a device, a pipe or a socket"
        raise file_fault(path, f"this is {what}, not a file.", "Give the name of a file.")
    return place


def _refuse_what_is_read(
    texts: Sequence[tuple[str | Path, str | bytes]], places: Sequence[Path], read: Iterable[str | Path]
) -> None:
    existing = [(path, place) for (path, _), place in zip(texts, places, strict=True) if place.exists()]
    inputs = [found for given in read for found in _files_of(Path(given))] if existing else []
    for path, place in existing:
        if any(_same(place, found) for found in inputs):
            raise file_fault(path, "this file is read by the same call.", "Give another name.")


def _files_of(given: Path) -> Iterable[Path]:
    return [given, *given.iterdir()] if given.is_dir() else [given]


def _same(one: Path, other: Path) -> bool:
    """Whether two paths are one file; where there is none yet, one name."""
    try:
        return one == other or os.path.samefile(one, other)
    except OSError:
        return False


def _move(temporary: Path, place: Path, *, replace: bool) -> None:
    """Put a temporary file in its place; without `replace` never over a file that has come there meanwhile."""
    if not replace:
        try:
            os.link(temporary, place)
        except FileExistsError:
            raise
        except OSError:  # a file system without links
            pass
        else:
            return
    os.replace(temporary, place)


def _temporary(place: Path, data: bytes) -> Path:
    """Return a new file beside `place` with `data` on the disk and the permissions that `place` has or would get."""
    import tempfile  # slow to load, and only writing needs it

    mode = place.stat().st_mode & 0o777 if place.exists() else None
    descriptor, name = tempfile.mkstemp(dir=place.parent, prefix=f".{place.name[:100]}.", suffix=".part")
    try:
        with os.fdopen(descriptor, "wb") as handle:
            handle.write(data)
            handle.flush()
            os.fsync(handle.fileno())
        if mode is None:
            umask = os.umask(0)
            os.umask(umask)
            mode = 0o666 & ~umask
        os.chmod(name, mode)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise
    return Path(name)
