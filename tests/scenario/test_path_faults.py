"""What cannot be of straps over points, of grip and of stops: one clear sentence each, at its place."""

from __future__ import annotations

from typing import Any

import pytest
import yaml

from anchorcalc.catalog.tables import Catalog
from anchorcalc.reading.faults import InputFaults
from anchorcalc.resources import data_folder
from anchorcalc.scenario.read import parse_scenario
from tests.conftest import texts_of

CATALOG = Catalog()
STRAP = ("straps", "front left")
STOP = ("load", "stops", "chock, ahead")


def faults(name: str, *path: str | int, value: Any) -> list[str]:
    """Sentences about a shipped scenario with one value replaced, or taken out where `value` is None."""
    texts: Any = texts_of(data_folder("scenarios") / f"{name}.yaml")
    place = texts
    for step in path[:-1]:
        place = place[step]
    if value is None:
        del place[path[-1]]
    else:
        place[path[-1]] = value
    with pytest.raises(InputFaults) as raised:
        parse_scenario(yaml.safe_dump(texts, sort_keys=False), "scenario", catalog=CATALOG)
    return [fault.message for fault in raised.value.faults]


@pytest.mark.parametrize(
    ("name", "path", "value", "words"),
    [
        ("quad", (*STRAP, "to"), "nose", "`to` with `over`: a strap is hooked to a tie point or runs over points"),
        ("quad", (*STRAP, "to_anchor"), None, "a strap that runs over points ends at an anchor: give `to_anchor`"),
        ("quad", (*STRAP, "over"), None, "say where the strap ends: `to` a tie point, or `over` points"),
        ("motorcycle", (*STRAP, "slides"), "yes", "slides is a word for straps that run `over` points"),
        ("motorcycle", (*STRAP, "to_anchor"), "rear left", "to_anchor is a word for straps that run `over` points"),
        ("quad", (*STRAP, "route"), "over", "route is a word for straps hooked `to` a tie point"),
        ("quad", (*STRAP, "slides"), "maybe", "'maybe' is not one of: yes, no"),
        ("quad", (*STRAP, "to_anchor"), "midle left", "no anchor 'midle left' is defined; did you mean 'middle left'?"),
        ("quad", (*STRAP, "over"), ["nose"], "no tie point 'nose' is defined. Defined: none"),
        ("quad", (*STRAP, "over", 0), ["98 in", "19 in"], "is the name of a tie point, or its place: [x, y, z]"),
        ("quad", (*STRAP, "over", 0), ["98 in", "19 in", "22 lb"], "lb"),
        ("quad", (*STRAP, "over", 1), ["90 in", "19 in", "12 in"], "the strap would pass above this point"),
        ("quad", (*STRAP, "over"), [["90 in", "19 in", "3 in"]], "this point lies inside wheel 'front left'"),
        ("quad", (*STRAP, "over", 0), ["98 in", "19 in", "18 in"], "this point lies inside wheel 'front left'"),
        ("quad", (*STRAP, "over", 1), ["98 in", "19 in", "22 in"], "over this point twice in a row"),
        ("quad", (*STRAP, "over", 0), ["98 in", "25 in", "1/4 in"], "it would pull down"),
        ("motorcycle", (*STOP, "pushes"), "upward", "'upward' is not one of: forward, rearward, left, right"),
        ("motorcycle", (*STOP, "at", 0), "150 in", "the stop does not stand on the deck"),
        ("motorcycle", (*STOP, "at", 0), "40 in", "pushes the load rearward and stands behind every wheel"),
        ("motorcycle", (*STOP, "pushes"), "forward", "pushes the load forward and stands ahead of every wheel"),
        ("motorcycle", (*STOP[:2], "chock, left side", "at", 1), "-2 in", "right and stands right of every wheel"),
        ("motorcycle", (*STOP[:2], "chock, right side", "at", 1), "2 in", "left and stands left of every wheel"),
        ("motorcycle", (*STOP, "rated"), "60000 lbf", "cannot be"),
        ("motorcycle", ("load", "grip", "sideways"), "2", "is not a plain number from 0 to 1"),
        ("motorcycle", ("load", "kind"), "moped", "'moped' is not one of: car,"),
    ],
)  # fmt: skip
def test_one_sentence_says_what_is_wrong(name: str, path: tuple[str | int, ...], value: Any, words: str) -> None:
    found = faults(name, *path, value=value)
    assert any(words in each for each in found), found
    assert len(found) <= 2


def test_a_tie_point_below_the_line_may_be_led_through() -> None:
    """A ring or an axle holds a strap down; a bare place cannot."""
    texts: Any = texts_of(data_folder("scenarios") / "quad.yaml")
    texts["load"]["tie_points"] = {"axle": {"at": ["90 in", "19 in", "12 in"], "rated": "2000 lbf"}}
    texts["straps"]["front left"]["over"][1] = "axle"
    parse_scenario(yaml.safe_dump(texts), "scenario", catalog=CATALOG)
