"""What the commands share: exit status, reading a scenario, options, and how faults are told."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from enum import IntEnum
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

if TYPE_CHECKING:
    from anchorcalc.catalog import Catalog
    from anchorcalc.scenario.model import Scenario

OWN_TABLES = "ANCHORCALC_TABLES"

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
        error.show()
        return Status.REFUSED
    except (click.Abort, KeyboardInterrupt):
        click.echo("interrupted", err=True)
        return Status.INTERRUPTED
    except (BrokenPipeError, PipeClosed):
        # The reader has gone; keep the interpreter from complaining when it flushes at the end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return Status.PIPE_CLOSED
    except OSError as error:
        return _cannot_write(error)
    except Exception as error:
        if not _is_users_fault(error):
            raise
        click.echo(str(error), err=True)
        return Status.REFUSED


def _cannot_write(error: OSError) -> int:
    """The output has nowhere to go: a full disk, say. Its unwritten rest is dropped."""
    click.echo(f"the output cannot be written: {error.strerror or error}", err=True)
    sys.stdout = None
    return Status.REFUSED


def _is_users_fault(error: Exception) -> bool:
    from anchorcalc.catalog import CatalogError
    from anchorcalc.output import OutputError
    from anchorcalc.scenario.faults import InputFaults

    return isinstance(error, CatalogError | InputFaults | OutputError)


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


def own_tables_option(command: F) -> F:
    """Option --tables, or the environment variable in its place."""
    return click.option(
        "--tables", "own_tables", multiple=True, metavar="FOLDER", type=click.Path(path_type=Path),
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
    from anchorcalc.catalog import Catalog

    catalog = Catalog(own_tables)
    return scenario_of(file, catalog, units), catalog


def scenario_of(file: str, catalog: Catalog, units: str | None = None) -> Scenario:
    """Scenario of `file`, shown in `units` if they are given."""
    from anchorcalc.scenario.reader import read_scenario

    if file == "-" and sys.stdin is None:
        raise click.UsageError("standard input is closed: there is nothing to read")
    scenario = read_scenario(located(file), catalog=catalog)
    return scenario.model_copy(update={"units": units}) if units else scenario


def located(file: str) -> str | Path:
    """Where `file` is: '-', a path, or the path of a shipped scenario."""
    if file == "-" or os.path.exists(file) or os.sep in file or "." in file:
        return file if file == "-" else Path(file)
    from anchorcalc.resources import data_folder

    shipped = data_folder("scenarios") / f"{file}.yaml"
    return shipped if shipped.is_file() else Path(file)
