"""The commands as one group, and how it is run."""

from __future__ import annotations

import os
from importlib import import_module

import click

from anchorcalc.cli.common import COMPLETION, PROGRAM, PipeClosed, guarded, sane_surroundings
from anchorcalc.cli.overview import COMMANDS


class _LazyGroup(click.Group):
    """Commands by the name of their module; a slip of the finger gets the nearest word."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        command = import_module(f"anchorcalc.cli.{cmd_name}").command
        assert isinstance(command, click.Command)  # noqa: S101 - every command module has one
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))

    def invoke(self, ctx: click.Context) -> object:
        try:
            return super().invoke(ctx)
        except BrokenPipeError:
            raise PipeClosed from None

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args and args[0] not in COMMANDS and not args[0].startswith("-"):
            from difflib import get_close_matches

            near = get_close_matches(args[0], COMMANDS, 1, 0.5)
            hint = f" Did you mean {near[0]!r}?" if near else ""
            ctx.fail(f"no command {args[0][:40]!r}.{hint}")
        return super().resolve_command(ctx, args)


def _version(ctx: click.Context, _: click.Parameter, wanted: bool) -> None:
    if wanted and not ctx.resilient_parsing:
        from anchorcalc import __version__

        click.echo(f"{PROGRAM} {__version__}")
        ctx.exit()


@click.group(cls=_LazyGroup, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.option(
    "--version", is_flag=True, callback=_version, expose_value=False, is_eager=True, help="Show the version and end."
)
def group() -> None:
    """How hard each strap pulls, what each floor anchor holds, and which link breaks first.

    \b
    Exit status: 0 everything passes, 1 marginal or fail, 2 input refused.

    \b
    Examples:
      anchorcalc start
      anchorcalc check my-trailer.yaml
      anchorcalc compare my-trailer.yaml
    """


def run() -> int:
    """Run the command that was asked for, or answer a shell that completes one; its exit status."""
    sane_surroundings()
    return guarded(_complete if os.environ.get(COMPLETION) else _command)


def _command() -> object:
    return group.main(standalone_mode=False, prog_name=PROGRAM)


def _complete() -> int:
    from anchorcalc.cli.completion import answer

    return answer(group, os.environ[COMPLETION])
