"""What looks odd is told with its usual range, and changes no verdict."""

from __future__ import annotations

from typing import Any

import pytest

from anchorcalc.catalog.tables import Catalog
from anchorcalc.scenario.model import Scenario
from anchorcalc.scenario.plausible import _Measured, _measured, _outside, plausibility_warnings
from anchorcalc.units import unit_system
from tests.conftest import SCENARIOS, checked, edited, roadster, texts_of

PLATED = ("mountings", "plated")
FRONT_LEFT = ("straps", "front left")

ODD: list[tuple[tuple[str | int, ...], str, str]] = [
    (("load", "weight"), "365 lb", "Weight of roadster is 365 lb; usual is 1,000 lb to 7,000 lb."),
    (("load", "centre_of_gravity", 2), "2.5 in", "Height of the centre of gravity is 2.5 in; usual is 6 in to 60 in."),
    (("load", "length"), "60 ft", "The load is longer than the deck"),
    (
        ("load", "tie_points", "front left", "rated"),
        "50000 lbf",
        "usual is 300 lbf to 10,000 lbf. Is that its breaking",
    ),
    (("deck", "length"), "60 ft", "Length of the deck is 720 in"),
    (("deck", "width"), "10 ft", "Width of the deck is 120 in"),
    (("deck", "layers", 0, "thickness"), "4 in", "Thickness of layer 1 is 4 in"),
    (("deck", "cross_members", "spacing"), "4 in", "Spacing of the cross-members is 4 in"),
    (("deck", "cross_members", "rails"), "16 in", "Distance between the main rails is 16 in"),
    (("deck", "hold_down", "spacing"), "1 in", "Spacing of the hold-down screws is 1 in"),
    ((*PLATED, "ring", "rated"), "5000 lbf", "usual is 200 lbf to 4,000 lbf. Is that its breaking strength?"),
    ((*PLATED, "ring", "base"), ["4 1/2 in", "12 in"], "Side of the ring's base of 'plated' is 12 in"),
    ((*PLATED, "ring", "base_thickness"), "1 in", "Thickness of the ring's base of 'plated' is 1 in"),
    ((*PLATED, "ring", "pull_height"), "5 in", "Pull height of the ring of 'plated' is 5 in"),
    ((*PLATED, "backing", "thickness"), "2 in", "Thickness of the plate of 'plated' is 2 in"),
    ((*PLATED, "backing", "size"), ["6 in", "30 in"], "Side of the plate of 'plated' is 30 in"),
    (("mountings", "four screws", "fasteners", "length"), "15 in", "Length of the screws of 'four screws' is 15 in"),
    (("mountings", "bolts and washers", "backing", "outside"), "5 in", "Outside of the washers"),
    (("mountings", "bolts and washers", "backing", "thickness"), "0.8 in", "Thickness of the washers"),
    (("mountings", "bridge bars", "backing", "thickness"), "2 in", "Thickness of the bar of 'bridge bars' is 2 in"),
    (("mountings", "bridge bars", "backing", "width"), "8 in", "Side of the bar of 'bridge bars' is 8 in"),
    ((*FRONT_LEFT, "rated"), "10000 lbf", "Strap front left is rated 10,000 lbf: much for its size."),
    ((*FRONT_LEFT, "hand_tension"), "1500 lbf", "Hand tension of strap front left is 1,500 lbf"),
    ((*FRONT_LEFT, "width"), "2 ft", "Width of strap front left is 24 in"),
    (("trailer", "empty_weight"), "29 lb", "Empty weight of the trailer is 29 lb"),
    (("trailer", "gross_rating"), "70000 lb", "Gross rating of the trailer is 70,000 lb"),
    (("load", "tie_points", "front left", "at"), ["136 in", "53 in", "12 in"], "Tie point front left lies far outside"),
    (("load", "length"), "79 in", "The tie points lie farther apart than the load is long"),
    (("anchors", "front left", "at"), ["186 in", "30 in"], "stands 2 in beyond the last cross-member, on a loose end"),
    (("anchors", "rear left", "at"), ["5 in", "30 in"], "stands 3 in beyond the first cross-member, on a loose end"),
    (("load", "friction"), "0.3", "Friction of 0.3 under the wheels is counted"),
    (("load", "centre_of_gravity", 1), "15 in", "lies far to one side"),
    (("load", "centre_of_gravity", 0), "10 in", "lies outside the wheels"),
]


def warnings_of(texts: dict[str, Any], catalog: Catalog) -> tuple[str, ...]:
    return plausibility_warnings(Scenario.model_validate(texts), catalog)


@pytest.mark.parametrize(("path", "value", "words"), ODD, ids=[" ".join(map(str, path)) for path, _, _ in ODD])
def test_an_odd_value_is_told_once(path: tuple[str | int, ...], value: Any, words: str, catalog: Catalog) -> None:
    assert warnings_of(roadster(), catalog) == ()
    found = warnings_of(edited(roadster(), *path, value=value), catalog)
    assert sum(words in each for each in found) == 1, found


@pytest.mark.parametrize(
    ("name", "y", "told"),
    [
        ("LEFT, ahead", "-0.5 in", True),
        ("ahead_left", "-20 in", True),
        ("right", "0.5 in", True),
        ("left", "-0.3 in", False),  # on the centreline
        ("left", "20 in", False),
        ("leftover", "-20 in", False),
        ("left of the right rail", "-20 in", False),
    ],
)
def test_a_name_that_tells_the_other_side_is_told(name: str, y: str, told: bool, catalog: Catalog) -> None:
    texts = roadster()
    texts["load"]["wheels"][name] = ["100 in", y]
    texts["load"]["tie_points"][name] = {"at": ["100 in", y, "8 in"], "rated": "1500 lbf"}
    texts["anchors"][name] = {"at": ["100 in", y], "mounting": "plated"}
    texts["straps"]["one more"] = texts["straps"]["front left"] | {"anchor": name, "to": name}
    found = [each for each in warnings_of(texts, catalog) if "on the other side than their names say" in each]
    assert [each.split(".")[0] for each in found] == (
        [f"{what} on the other side than their names say: {name}" for what in ("Wheels", "Tie points", "Anchors")]
        if told
        else []
    )


def test_parts_on_the_other_side_share_a_line(catalog: Catalog) -> None:
    texts = roadster()
    for name in ("front left", "rear right"):
        place = texts["load"]["tie_points"][name]["at"]
        place[1] = place[1].removeprefix("-") if name == "rear right" else f"-{place[1]}"
    side, twice = warnings_of(texts, catalog)
    assert side.startswith("Tie points on the other side than their names say: front left, rear right. Is the sign")
    assert (
        twice == "Tie points at one place: front left and front right, rear left and rear right. Is a sign of y wrong?"
    )


def test_rings_that_no_strap_hangs_on_are_told(catalog: Catalog) -> None:
    texts = roadster()
    texts["straps"]["front left"]["anchor"] = "front right"
    del texts["straps"]["rear left"]
    told = "No strap hangs on front left, rear left: look again at which anchor each strap begins and ends at."
    assert told in warnings_of(texts, catalog)
    # a track whose own ring is left free, and a ring at the far end of a strap
    texts["anchors"]["front left"]["mounting"] = "plated"
    texts["anchors"]["beside"] = {"at": texts["anchors"]["front left"]["at"], "on": "front left"}
    strap = {"anchor": "beside", "over": ["rear left"], "to_anchor": "rear left", "kind": "webbing", "width": "2 in"}
    texts["straps"]["rear left"] = strap
    assert not any("No strap hangs" in each for each in warnings_of(texts, catalog))


def test_a_ring_over_the_last_member_is_not_beyond_it(catalog: Catalog) -> None:
    texts = roadster()  # 12 in and seven times 24 in are 180 in, but for what floats round
    texts["deck"]["cross_members"] |= {"spacing": "24 in", "first_at": "12 in"}
    for at in ("180 in", "4572 mm", "457.2 cm", "15 ft"):
        texts["anchors"]["front left"]["at"][0] = at
        assert warnings_of(texts, catalog) == ()
    texts["anchors"]["front left"]["at"][0] = "180.1 in"
    assert any("0.1 in beyond the last" in each for each in warnings_of(texts, catalog))


def test_a_chain_with_its_breaking_strength_as_rating_is_told(catalog: Catalog) -> None:
    # 49 CFR 393.108: grade 70 chain of 3/8 in is rated 6600 lbf; its breaking strength is four times that.
    chain = {"anchor": "front left", "to": "front left", "kind": "chain", "size": "3/8 in", "rated": "6600 lbf"}
    texts = edited(roadster(), *FRONT_LEFT, value=chain)
    assert not any("much for its size" in each for each in warnings_of(texts, catalog))
    texts = edited(texts, *FRONT_LEFT, "rated", value="26400 lbf")
    assert any("much for its size" in each for each in warnings_of(texts, catalog))


def test_no_other_shipped_scenario_looks_odd(catalog: Catalog) -> None:
    found = {path.stem: warnings_of(texts_of(path), catalog) for path in SCENARIOS}
    # The cart's two rings stand on the loose ends of its deck; it fails anyway.
    assert {name for name, told in found.items() if told} == {
        "limousine-too-heavy", "cart-held-endways-only", "motorcycle",
    }  # fmt: skip
    # What a motorcycle stands on, and what its grip and its chock rest on, is always told.
    assert [told.split(" ")[0] for told in found["motorcycle"]] == ["Grip", "Stops", "A"]
    assert all("on a loose end of the deck" in each for each in found["cart-held-endways-only"])


def test_every_quantity_has_its_row_of_usual_ranges_and_every_row_is_used(catalog: Catalog) -> None:
    used = {each.row for path in SCENARIOS for each in _measured(Scenario.model_validate(texts_of(path)))}
    unknown = used - set(catalog.usual_ranges)
    assert unknown == set()
    # what no shipped scenario has, and one held against the width of a strap
    assert set(catalog.usual_ranges) - used == {
        "weight of a light truck", "weight of a van", "weight of a load", "rating of webbing per width",
        "hitch ahead of the deck", "hitch ahead of the axle", "size of a chain", "size of a wire rope",
        "size of a rope", "side of a ring's foot", "weight of a side-by-side", "weight of a trike",
        "weight of a trailer", "breadth of a bearer", "depth of a bearer",
    }  # fmt: skip


def test_every_usual_range_warns_beyond_its_ends_and_not_at_them(catalog: Catalog) -> None:
    for name, usual in catalog.usual_ranges.items():
        least, most = usual.limits()
        assert 0 <= least < most, name

        def told(value: float, name: str = name) -> int:
            return len(list(_outside(catalog, _Measured(name, "it", value), unit_system("us"))))

        assert [told(value) for value in (least, most)] == [0, 0], name
        assert [told(value) for value in (least - 1e-6 * most, 1.000001 * most)] == [1, 1], name


def test_a_warning_changes_no_verdict(catalog: Catalog) -> None:
    result = checked(edited(roadster(), "load", "tie_points", "front left", "rated", value="20000 lbf"), catalog)
    assert result.warnings
    assert result.verdict == "pass"


@pytest.mark.parametrize(
    ("axle", "hitch", "words"),
    [
        ("78 in", "240 in", ""),  # the load 18 in ahead of the axle of 162: 11 % of it on the hitch
        ("94 in", "240 in", "The hitch carries only"),
        ("150 in", "300 in", "lifts the hitch"),
        ("78 in", "340 in", "Distance of the hitch ahead of the deck is 148 in; usual is 12 in to 120 in."),
        ("150 in", "205 in", "Distance of the hitch ahead of the axle is 55 in"),
    ],
)
def test_a_trailer_light_on_its_hitch_is_told(axle: str, hitch: str, words: str, catalog: Catalog) -> None:
    texts = roadster()
    texts["trailer"].update(axle_at=axle, hitch_at=hitch)
    found = checked(texts, catalog).warnings
    assert any(words in each for each in found) if words else found == ()


def test_an_axle_that_carries_more_than_its_rating_fails(catalog: Catalog) -> None:
    # 2900 + 1650 + 240 lb of the added layer and hardware; the hitch takes a tenth or so, the axle some 4300 lb.
    texts = roadster()
    texts["trailer"].update(axle_at="78 in", hitch_at="240 in", axle_rating="4400 lb")
    assert checked(texts, catalog).verdict == "pass"
    for rating in ("4200 lb", "100 lb"):
        texts["trailer"]["axle_rating"] = rating
        assert checked(texts, catalog).verdict == "fail"
    # The same axles farther forward: the load's own lever puts more on them than the trailer weighs in all.
    texts["trailer"].update(axle_at="150 in", axle_rating="4900 lb")
    assert checked(texts, catalog).verdict == "fail"
