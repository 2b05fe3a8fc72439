"""What the commands that write a file share: where to, what kind, and the word when it is done."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any, TypeVar

import click

F = TypeVar("F", bound=Callable[..., Any])


def output_options(command: F) -> F:
    """Options -o and --overwrite."""
    place = click.option(
        "-o", "--output", required=True, metavar="OUT", type=click.Path(path_type=Path), help="File to write.",
    )  # fmt: skip
    overwrite = click.option("--overwrite", is_flag=True, help="Replace OUT if it is there already.")
    return place(overwrite(command))


def suffix_of(output: Path, allowed: Sequence[str]) -> str:
    """The kind of file that the ending of `output` asks for.

    Raises
    ------
    click.UsageError
        Another ending.
    """
    from anchorcalc.output import shown

    kind = output.suffix.lower().removeprefix(".")
    if kind not in allowed:
        endings = " or ".join(f".{each}" for each in allowed)
        raise click.UsageError(f"{shown(output)}: its name must end in {endings}")
    return kind


def keep_inputs(output: Path, file: str | None, own_tables: Sequence[Path]) -> None:
    """Refuse an `output` that is the scenario `file` or one of the user's own tables, whatever it is called.

    Raises
    ------
    anchorcalc.output.OutputError
        It is one of them.
    """
    import sys

    from anchorcalc.cli.common import located
    from anchorcalc.output import check_apart

    inputs: list[Path | int] = []
    for folder in own_tables:
        inputs += [*folder.glob("*.yaml"), *(folder / "rules").glob("*.yaml")]
    if file is not None and file != "-":
        inputs.append(Path(located(file)))
    with suppress(AttributeError, OSError, ValueError):  # closed, or no file of the system's
        inputs.append(sys.stdin.fileno())
    check_apart(output, inputs)


def write(output: Path, content: str | bytes, *, overwrite: bool) -> None:
    """Write the file and say so.

    Raises
    ------
    anchorcalc.output.OutputError
        It is there already, or cannot be written.
    """
    from anchorcalc.output import shown, write_whole

    write_whole(output, content, overwrite=overwrite)
    click.echo(f"written: {shown(output)}")
