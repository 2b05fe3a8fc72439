"""`size` on a ring that hangs on screws: it ends, and a way to steel is not taken for the deck."""

from __future__ import annotations

from anchorcalc.catalog.tables import Catalog
from anchorcalc.resources import data_folder
from anchorcalc.rig.resolve import resolve
from anchorcalc.scenario.read import read_scenario
from anchorcalc.sizing.size import backed, needed, pull_direction, size


def test_bridge_bars_are_not_limited_by_the_deck_they_pass_by(catalog: Catalog) -> None:
    scenario = read_scenario(data_folder("scenarios") / "orchard-tractor.yaml", catalog=catalog)
    at = backed(resolve(scenario, catalog), None, None)
    answer = size(at, catalog, pull_direction(at, "strap"), needed(at))
    strongest = max(answer.choices, key=lambda choice: choice.strength.working)
    assert strongest.backing.kind == "bridge"
    assert {link.key for link in strongest.strength.links}.isdisjoint({"hold_down", "rolling_shear"})
