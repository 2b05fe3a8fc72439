"""``schema``: the JSON Schema of a scenario."""

from __future__ import annotations

import json

import click

from anchorcalc.cli.common import Status


@click.command(name="schema")
def command() -> int:
    """Print the JSON Schema of a scenario, by which editors complete and check its keys.

    An editor takes it for a file with this line at the head of the scenario:
    # yaml-language-server: $schema=scenario.schema.json

    \b
    Examples:
      anchorcalc schema
      anchorcalc schema > scenario.schema.json
    """
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.scenario.json_schema import scenario_schema

    click.echo(json.dumps(scenario_schema(Catalog()), indent=2, ensure_ascii=False, allow_nan=False))
    return Status.PASSES
