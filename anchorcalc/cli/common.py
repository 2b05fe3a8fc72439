"""What the commands share: exit status, reading a scenario, options, and how faults are told."""

from __future__ import annotations

import io
import os
import re
import sys
from collections.abc import Callable, Sequence
from enum import IntEnum
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

if TYPE_CHECKING:
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.reading.document import Plain
    from anchorcalc.result import Result
    from anchorcalc.rig.rig import Rig
    from anchorcalc.scenario.model import Scenario

PROGRAM = "anchorcalc"
COMPLETION = "_ANCHORCALC_COMPLETE"
OWN_TABLES = "ANCHORCALC_TABLES"

_LONGEST_COMPLAINT = 4_000

F = TypeVar("F", bound=Callable[..., Any])


class Status(IntEnum):
    """Exit status of every command."""

    PASSES = 0
    MARGINAL_OR_FAILS = 1
    REFUSED = 2
    INTERRUPTED = 130
    PIPE_CLOSED = 141


class PipeClosed(Exception):  # noqa: N818 - says what happened
    """Whoever read the output has gone. Unlike BrokenPipeError it gets past click, which would end with status 1."""


def sane_surroundings() -> None:
    """Drop sizes of the screen that are none, and let letters that the encoding lacks come out as '?'."""
    for name in ("COLUMNS", "LINES"):
        if not re.fullmatch(r"[0-9]{1,4}", os.environ.get(name, "")):
            os.environ.pop(name, None)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


def guarded(run: Callable[[], Any]) -> int:
    """Run a command; turn every fault of the user's into one message and status 2."""
    try:
        if sys.stdout is None:
            raise click.UsageError("standard output is closed: there is nowhere to print to")
        status = run()
        sys.stdout.flush()
        return int(status) if isinstance(status, int) else Status.PASSES
    except click.exceptions.Exit as stop:
        return stop.exit_code
    except click.ClickException as error:
        tell(_complaint(error))
        return Status.REFUSED
    except (click.Abort, KeyboardInterrupt):
        tell("interrupted")
        return Status.INTERRUPTED
    except (BrokenPipeError, PipeClosed):
        # The reader has gone; keep the interpreter from complaining when it flushes at the end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return Status.PIPE_CLOSED
    except OSError as error:
        return _failed(error)
    except Exception as error:
        words = _users_fault(error)
        if words is None:
            raise
        tell(words)
        return Status.REFUSED


def tell(words: str) -> None:
    """Print to standard error; where that cannot be written, the exit status still says what happened."""
    try:
        click.echo(words, err=True)
    except OSError:
        sys.stderr = None


def _complaint(error: click.ClickException) -> str:
    """What click would print, with what the user typed in it on one line and nothing a terminal would obey."""
    from anchorcalc.reading.faults import printable, shortened

    shown = io.StringIO()
    if not isinstance(error, getattr(click.exceptions, "NoArgsIsHelpError", ())):
        words = " ".join(error.format_message().split())
        error = click.UsageError(printable(shortened(words, _LONGEST_COMPLAINT)), getattr(error, "ctx", None))
    error.show(shown)
    return shown.getvalue().rstrip("\n")


def _failed(error: OSError) -> int:
    """Standard output has nowhere to go, a full disk say; or a file that has to be there is not."""
    from anchorcalc.reading.faults import printable

    reason = printable(error.strerror or str(error))
    if error.filename is not None:
        tell(f"{printable(os.fsdecode(error.filename))}: {reason}")
    elif error.errno is None:
        tell(reason)
    else:
        tell(f"standard output cannot be written to: {reason}")
        sys.stdout = None  # its unwritten rest is dropped
    return Status.REFUSED


def _users_fault(error: Exception) -> str | None:
    """What to say of a fault in what the user gave; None for any other."""
    from anchorcalc.catalog.tables import CatalogError
    from anchorcalc.output import OutputError
    from anchorcalc.reading.faults import InputFaults, printable

    if isinstance(error, InputFaults):  # of several lines, each printable
        return str(error)
    return printable(str(error)) if isinstance(error, CatalogError | OutputError) else None


def scenario_argument(command: F) -> F:
    """Argument FILE."""
    return click.argument("file", metavar="FILE", type=str, shell_complete=complete_scenario)(command)


def complete_scenario(_: click.Context, __: click.Parameter, incomplete: str) -> list[Any]:
    """Files, and the names of shipped scenarios."""
    from click.shell_completion import CompletionItem

    from anchorcalc.resources import data_folder

    shipped = sorted(path.stem for path in data_folder("scenarios").glob("*.yaml"))
    names = [CompletionItem(name, help="shipped") for name in shipped if name.startswith(incomplete)]
    return [*names, CompletionItem(incomplete, type="file")]


class _Folder(click.Path):
    """A folder by a name that is not empty: an empty one would mean the current folder."""

    def split_envvar_value(self, rv: str) -> Sequence[str]:
        return [part for part in super().split_envvar_value(rv) if part]

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        if value == "":
            self.fail("an empty name is no folder", param, ctx)
        return super().convert(value, param, ctx)


def own_tables_option(command: F) -> F:
    """Option --tables, or the environment variable in its place."""
    return click.option(
        "--tables", "own_tables", multiple=True, metavar="FOLDER", type=_Folder(path_type=Path),
        envvar=OWN_TABLES, show_envvar=True,
        help=f"Folder with tables of your own; may be given more than once. In the variable: parted by {os.pathsep!r}.",
    )(command)  # fmt: skip


def shared_options(command: F) -> F:
    """Options that every reading command takes."""
    units = click.option("--units", type=click.Choice(["us", "si"]), help="Units to show, in place of the scenario's.")
    return own_tables_option(units(command))


def format_option(command: F) -> F:
    """Option --format."""
    choice = click.Choice(["screen", "json"])
    return click.option("--format", "form", type=choice, default="screen", show_default=True, help="How to print.")(
        command
    )


def read(file: str, own_tables: tuple[Path, ...], units: str | None) -> tuple[Scenario, Catalog]:
    """Scenario of `file` ('-' is standard input, a bare name may be a shipped scenario) and the tables."""
    from anchorcalc.catalog.tables import Catalog

    catalog = Catalog(own_tables)
    return scenario_of(file, catalog, units), catalog


def rig_of(file: str, own_tables: tuple[Path, ...], units: str | None) -> Rig:
    """The scenario of `file` in numbers."""
    from anchorcalc.rig.resolve import resolve

    return resolve(*read(file, own_tables, units))


def checked(scenario: Scenario, catalog: Catalog, *, least: bool = False) -> Result:
    """Result of a scenario, with what it hangs on, and each anchor's `least` if it is wanted."""
    from anchorcalc.rig.resolve import resolve

    return checked_rig(resolve(scenario, catalog), scenario, catalog, least=least)


def checked_rig(rig: Rig, scenario: Scenario, catalog: Catalog, *, least: bool) -> Result:
    """The same of a scenario that is in numbers already."""
    from anchorcalc.links.path import Strengths
    from anchorcalc.verdict.check import check_forces
    from anchorcalc.verdict.forces import Forces

    strengths = Strengths(rig.basis)
    result = check_forces(Forces(rig, strengths))
    if least:
        from anchorcalc.verdict.least import with_least

        result = with_least(result, rig, catalog)
    from anchorcalc.verdict.conditions import with_conditions

    return with_conditions(result, rig, scenario, catalog, strengths)


def scenario_of(file: str, catalog: Catalog, units: str | None = None) -> Scenario:
    """Scenario of `file`, shown in `units` if they are given."""
    from anchorcalc.scenario.read import read_scenario

    if file == "-" and sys.stdin is None:
        raise click.UsageError("standard input is closed: there is nothing to read")
    scenario = read_scenario(located(file), catalog=catalog)
    return scenario.model_copy(update={"units": units}) if units else scenario


def texts_of(file: str, catalog: Catalog) -> tuple[str, dict[str, Plain]]:
    """The scenario `file` as it is written, and the texts in it, sound as a whole."""
    from anchorcalc.reading.document import read_document
    from anchorcalc.reading.reader import text_of
    from anchorcalc.scenario.read import parse_scenario

    text, name = text_of(located(file))
    parse_scenario(text, name, catalog=catalog)
    content = read_document(text).content
    assert isinstance(content, dict)  # noqa: S101 - a scenario was read from it
    return text, content


def located(file: str) -> str | Path:
    """Where `file` is: '-', a path, or the path of a shipped scenario."""
    if file == "-" or os.path.lexists(file) or os.sep in file or "." in file:
        return file if file == "-" else Path(file)
    from anchorcalc.resources import data_folder

    shipped = data_folder("scenarios") / f"{file}.yaml"
    # Path.is_file would raise where no file can have such a name.
    return shipped if os.path.isfile(shipped) else Path(file)
