"""Files written whole or not at all; what exists is kept unless the user says otherwise."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path


class OutputError(Exception):
    """A file that cannot be written; the message says which and why."""


def write_whole(path: Path, content: str | bytes, *, overwrite: bool) -> None:
    """Write `content` to `path`: whole, or the place stays as it was.

    Raises
    ------
    OutputError
        The file exists and `overwrite` is false, or the place cannot be written to.
    """
    data = content.encode("utf-8") if isinstance(content, str) else content
    try:
        _check_place(path)
        if not overwrite and os.path.lexists(path):
            raise FileExistsError
        _write(path, data, overwrite)
    except FileExistsError:
        raise OutputError(f"{shown(path)}: is there already; --overwrite replaces it") from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise OutputError(f"{shown(path)}: cannot be written: {reason}") from None


def shown(path: Path) -> str:
    """`path` as one line of printable characters, short enough to read."""
    text = "".join(each if each.isprintable() else "\N{REPLACEMENT CHARACTER}" for each in str(path))
    return text if len(text) <= 200 else f"{text[:160]}…{text[-39:]}"


def _check_place(path: Path) -> None:
    """A folder or a device is never replaced by a file."""
    if path.is_dir():
        raise OutputError(f"{shown(path)}: is a folder; name a file")
    if path.exists() and not path.is_file():
        raise OutputError(f"{shown(path)}: is not a plain file")


def _write(path: Path, data: bytes, overwrite: bool) -> None:
    handle, name = tempfile.mkstemp(prefix=".", suffix=".part", dir=path.parent)
    part = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        part.chmod(_usual_mode(path))
        if overwrite:
            part.replace(path)
        else:
            _place_new(part, path)
    finally:
        part.unlink(missing_ok=True)


def _usual_mode(path: Path) -> int:
    """Permissions of the file that is replaced, or those any new file gets."""
    if path.is_file():
        return path.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _place_new(part: Path, path: Path) -> None:
    """Give the finished file its name; a link fails where someone else was first, a rename would not."""
    try:
        os.link(part, path)
    except FileExistsError:
        raise
    except OSError:  # file systems without hard links
        if os.path.lexists(path):
            raise FileExistsError from None
        part.rename(path)
