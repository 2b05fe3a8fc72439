"""``completion``: the script that lets a shell complete commands, options and files."""

from __future__ import annotations

import click

from anchorcalc.cli.common import Status


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
    click.echo(completer(ctx.find_root().command, {}, "anchorcalc", "_ANCHORCALC_COMPLETE").source())
    return Status.PASSES
