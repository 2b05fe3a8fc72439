"""``verify``: every published value against what this installation computes."""

from __future__ import annotations

import click

from anchorcalc.cli.common import Status, format_option


@click.command(name="verify")
@format_option
def command(form: str) -> int:
    """Compare every published value with what this installation computes.

    Ends with 1 if one of them is farther off than its tolerance allows.

    \b
    Examples:
      anchorcalc verify
      anchorcalc verify --format json
    """
    from anchorcalc.proof.published import outcome, published_checks

    outcomes = [outcome(check) for check in published_checks()]
    if form == "json":
        from anchorcalc.render.json.verify import verify_json

        click.echo(verify_json(outcomes))
    else:
        from anchorcalc.render.screen.verify import show_outcomes

        show_outcomes(outcomes)
    return Status.PASSES if all(found.holds for found in outcomes) else Status.MARGINAL_OR_FAILS
