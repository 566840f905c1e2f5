"""Reading bytes from a user's file into text, and writing text back whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

from glazecalc.errors import Fault, FileFaultsError, did_you_mean

__all__ = ("file_fault", "read_text", "write_text_atomically")

_LARGEST_BYTES = 1_000_000


def file_fault(path: str | Path, message: str, hint: str = "", line: int | None = None) -> FileFaultsError:
    """Return the error for a file in which one thing is wrong."""
    return FileFaultsError(str(path), [Fault(line, message, hint)])


def read_text(path: str | Path) -> str:
    """Return the text of a user's file, line ends and a byte order mark as they are.

    Raises FileFaultsError if it is missing, a folder, unreadable, too large, binary or not UTF-8.
    """
    file = Path(path)
    try:
        if file.is_dir():
            raise file_fault(path, "this is a folder, not a file.")
        with file.open("rb") as handle:
            data = handle.read(_LARGEST_BYTES + 1)
    except FileNotFoundError:
        raise file_fault(path, "there is no such file.", _near_files(file)) from None
    except (OSError, ValueError) as error:
        raise file_fault(path, f"the file cannot be read: {getattr(error, 'strerror', None) or error}.") from None
    if len(data) > _LARGEST_BYTES:
        raise file_fault(path, f"the file is larger than {_LARGEST_BYTES // 1000} kB.", "Is it the right file?")
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise file_fault(path, "the file is UTF-16.", "Save it as UTF-8.", 1)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        said = f"byte {data[error.start]:#04x} is not UTF-8 text."
        raise file_fault(path, said, "Save the file as UTF-8.", data[: error.start].count(b"\n") + 1) from None
    for line, content in enumerate(text.split("\n"), start=1):
        bad = next((c for c in content if ord(c) < 32 and c not in "\t\r"), None)
        if bad is not None:
            raise file_fault(path, f"the file holds a control character ({ord(bad):#04x}): is it text?", line=line)
    return text


def _near_files(file: Path) -> str:
    try:
        return did_you_mean(file.name, [entry.name for entry in file.parent.iterdir()][:500])
    except OSError:
        return ""


def write_text_atomically(path: str | Path, text: str) -> None:
    """Write `text` by way of a temporary file in the same folder, so that `path` is never half written.

    Line ends are written as they are in `text`. The permissions of an existing file are kept. Raises FileFaultsError if
    the folder cannot be written; the old file is then untouched.
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
        raise file_fault(path, f"the file cannot be written: {reason}.", "The old file is untouched.") from None
