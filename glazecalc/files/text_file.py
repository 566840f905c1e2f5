"""Reading bytes from a user's file into text, and writing text back whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

from glazecalc.errors import Fault, FileFaultsError

__all__ = ("read_text", "write_text_atomically")

LARGEST_BYTES = 1_000_000


def read_text(path: str | Path, *, largest_bytes: int = LARGEST_BYTES) -> str:
    """Return the text of a user's file, line ends as they are; a byte order mark is kept at the front.

    Parameters
    ----------
    path : str or Path
        The file.
    largest_bytes : int
        Refuse a larger file.

    Raises
    ------
    FileFaultsError
        If it is missing, a folder, unreadable, too large, binary or not UTF-8.
    """
    file = Path(path)
    try:
        if file.is_dir():
            raise FileFaultsError(str(path), [Fault(None, "this is a folder, not a file.")])
        with file.open("rb") as handle:
            data = handle.read(largest_bytes + 1)
    except FileNotFoundError:
        raise FileFaultsError(str(path), [Fault(None, "there is no such file.", _near_files(file))]) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise FileFaultsError(str(path), [Fault(None, f"the file cannot be read: {reason}.")]) from None
    if len(data) > largest_bytes:
        raise FileFaultsError(
            str(path), [Fault(None, f"the file is larger than {largest_bytes // 1000} kB.", "Is it the right file?")]
        )
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise FileFaultsError(str(path), [Fault(1, "the file is UTF-16.", "Save it as UTF-8.")])
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise FileFaultsError(
            str(path), [Fault(line, f"byte {data[error.start]:#04x} is not UTF-8 text.", "Save the file as UTF-8.")]
        ) from None
    for line, content in enumerate(text.split("\n"), start=1):
        bad = next((c for c in content if ord(c) < 32 and c not in "\t\r"), None)
        if bad is not None:
            raise FileFaultsError(
                str(path), [Fault(line, f"the file holds a control character ({ord(bad):#04x}): is it text?")]
            )
    return text


def _near_files(file: Path) -> str:
    from glazecalc.errors import did_you_mean

    try:
        names = [entry.name for entry in file.parent.iterdir()][:500]
    except OSError:
        return ""
    return did_you_mean(file.name, names)


def write_text_atomically(path: str | Path, text: str) -> None:
    """Write `text` to `path` by way of a temporary file in the same folder, so that it is never half written.

    Line ends are written as they are in `text`. The permissions of an existing file are kept.

    Raises
    ------
    FileFaultsError
        If the folder cannot be written; the old file is then untouched.
    """
    import tempfile  # slow to load, and only writing needs it

    file = Path(path)
    if file.is_symlink():
        file = file.resolve()
    temporary: str | None = None
    try:
        mode = file.stat().st_mode & 0o777 if file.exists() else None
        descriptor, temporary = tempfile.mkstemp(dir=file.parent, prefix=f".{file.name}.", suffix=".part")
        with os.fdopen(descriptor, "wb") as handle:
            handle.write(text.encode("utf-8"))
            handle.flush()
            os.fsync(handle.fileno())
        if mode is None:
            umask = os.umask(0)
            os.umask(umask)
            mode = 0o666 & ~umask
        os.chmod(temporary, mode)
        os.replace(temporary, file)
    except OSError as error:
        if temporary is not None:
            Path(temporary).unlink(missing_ok=True)
        reason = error.strerror or str(error)
        raise FileFaultsError(
            str(path), [Fault(None, f"the file cannot be written: {reason}.", "The old file is untouched.")]
        ) from None
