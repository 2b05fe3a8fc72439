"""The command line: one thin module per command, each imported only when it is asked for."""

from __future__ import annotations

import gc
import os
import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from anchorcalc.cli.commands import group as group

_OBJECTS_BETWEEN_SWEEPS = 200_000


def main() -> None:
    """Run the command line and end with its exit status."""
    # The matrices are small: a second thread of numpy's would only wait for the first, and cost its time.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    # Every package installed would be asked whether it plugs into the reading of files; none has a say in it.
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    # Imports and one check make hardly any rubbish in circles: looking for it would take a tenth of their time.
    gc.set_threshold(_OBJECTS_BETWEEN_SWEEPS)
    try:
        # Nothing of weight is imported before this point, so that Ctrl-C finds someone to take it.
        from anchorcalc.cli.commands import run

        status = run()
    except KeyboardInterrupt:
        status = 130
    sys.exit(status)


def __getattr__(name: str) -> object:
    if name != "group":
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from anchorcalc.cli.commands import group

    return group
