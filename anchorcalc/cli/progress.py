"""A bar on standard error for what takes long."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

_PATIENCE = 1.0  # before a bar is shown [s]


@contextmanager
def progress_bar(words: str) -> Iterator[Callable[[int, int], None] | None]:
    """Called with how much is done and how much there may be; shown after a second, never where nobody looks."""
    if not sys.stderr.isatty():
        yield None
        return
    from rich.console import Console
    from rich.progress import Progress

    start = time.monotonic()
    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(words, total=None, visible=False)

        def progress(done: int, most: int) -> None:
            bar.update(task, completed=done, total=most, visible=time.monotonic() - start > _PATIENCE)

        yield progress
