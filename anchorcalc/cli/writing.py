"""What the commands that write a file share: where to, what kind, and the word when it is done."""

from __future__ import annotations

from collections.abc import Callable, Sequence
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
