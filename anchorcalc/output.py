"""Files written whole or not at all; what exists is kept unless the user says otherwise."""

from __future__ import annotations

import os
import secrets
import signal
import threading
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from types import FrameType
from typing import Final

_ENDS: Final = tuple(getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name))
"""Signals that end a program at once, with no word to what it was about to write."""


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
        with _tidy_when_ended():
            _write(path, data, overwrite)
    except FileExistsError:
        raise OutputError(f"{shown(path)}: is there already; --overwrite replaces it") from None
    except (OSError, ValueError) as error:
        reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
        raise OutputError(f"{shown(path)}: cannot be written: {reason}") from None


def check_apart(output: Path, inputs: Iterable[Path | int]) -> None:
    """Refuse to write over what is read, however either of them is spelt or linked.

    Parameters
    ----------
    output
        File to be written.
    inputs
        Files that are read, or the numbers by which they are open.

    Raises
    ------
    OutputError
        `output` is one of `inputs`.
    """
    for source in inputs:
        try:
            same = os.path.samefile(output, source)
        except (OSError, ValueError):  # one of them is not there, which is told where it is opened
            continue
        if same:
            raise OutputError(f"{shown(output)}: is read here, and --overwrite does not replace it; name another file")


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
    part = path.parent / f".{secrets.token_hex(8)}.part"  # named before it is there: whatever happens, it is removed
    try:
        with open(part, "xb", opener=_for_us_alone) as file:
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


def _for_us_alone(path: str, flags: int) -> int:
    return os.open(path, flags, 0o600)


class _Ended(BaseException):
    """A signal that ends the program, on its way through what is to be tidied up."""

    def __init__(self, number: int) -> None:
        self.number = number


@contextmanager
def _tidy_when_ended() -> Iterator[None]:
    """Let a signal that ends the program do so only when the part of a file is removed."""
    if threading.current_thread() is not threading.main_thread():
        yield  # only the main thread may change what signals do
        return
    # Another's handler is left alone: it does not end the program without our `finally`.
    ours = [number for number in _ENDS if signal.getsignal(number) is signal.SIG_DFL]

    def end(number: int, _: FrameType | None) -> None:
        for each in ours:
            signal.signal(each, signal.SIG_IGN)  # once is enough
        raise _Ended(number)

    try:
        for number in ours:
            signal.signal(number, end)
        yield
    except _Ended as ended:
        _restore(ours)
        signal.raise_signal(ended.number)
    finally:
        _restore(ours)


def _restore(numbers: Iterable[int]) -> None:
    for number in numbers:
        signal.signal(number, signal.SIG_DFL)


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
