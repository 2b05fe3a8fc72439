"""``completion``: the script that lets a shell complete commands, options and files."""

from __future__ import annotations

import click

from anchorcalc.cli.common import COMPLETION, PROGRAM, Status


@click.command(name="completion")
@click.argument("shell", type=click.Choice(["bash", "zsh", "fish"]))
@click.pass_context
def command(ctx: click.Context, shell: str) -> int:
    """Print the script by which SHELL completes commands, options and scenarios.

    \b
    Examples:
      eval "$(anchorcalc completion bash)"        in ~/.bashrc
      eval "$(anchorcalc completion zsh)"         in ~/.zshrc
      anchorcalc completion fish > ~/.config/fish/completions/anchorcalc.fish
    """
    from click.shell_completion import get_completion_class

    completer = get_completion_class(shell)
    assert completer is not None  # noqa: S101 - click knows these three
    click.echo(completer(ctx.find_root().command, {}, PROGRAM, COMPLETION).source())
    return Status.PASSES


def answer(group: click.Group, wish: str) -> int:
    """Answer the `wish` of a shell's script, which gives the words typed so far in the environment.

    Raises
    ------
    click.UsageError
        No shell's script asks like that.
    """
    from click.shell_completion import shell_complete

    try:
        status = shell_complete(group, {}, PROGRAM, COMPLETION, wish)
    except (KeyError, ValueError):  # the words are not there, or their count is no number
        status = 1
    if status:
        raise click.UsageError(f"{COMPLETION} is set but not as a shell's completion script sets it; unset it")
    return Status.PASSES
