"""Where what is unusual ends and what cannot be begins."""

from __future__ import annotations

from typing import Any, get_args

import pytest

from anchorcalc.catalog.rules import LoadKind
from anchorcalc.catalog.tables import Catalog
from anchorcalc.scenario.crosscheck import bar_rows, cross_faults
from anchorcalc.scenario.model import Scenario
from tests.conftest import SCENARIOS, Texts, edited, roadster, texts_of

LB = 4.4482216152605


def faults(texts: Texts, catalog: Catalog) -> list[str]:
    found = cross_faults(Scenario.model_validate(texts), catalog)
    return [f"{' › '.join(map(str, path))}: {message}" for path, message in found]


def test_nothing_shipped_is_impossible(catalog: Catalog) -> None:
    assert {path.stem: faults(texts_of(path), catalog) for path in SCENARIOS} == {path.stem: [] for path in SCENARIOS}


@pytest.mark.parametrize("kind", [*get_args(LoadKind), None])
def test_no_load_of_a_kind_weighs_a_third_of_what_the_lightest_weigh_and_none_a_fifth(
    kind: str | None, catalog: Catalog
) -> None:
    texts = edited(roadster(), "load", "kind", value=kind)
    row = f"weight of a {kind}"
    least = catalog.usual_ranges.get(row, catalog.usual_ranges["weight of a load"]).limits()[0] / LB
    over = 3 if row in catalog.usual_ranges else 5
    for weight, cannot_be in ((least / (over + 0.01), True), (least / (over - 0.01), False)):
        found = faults(edited(texts, "load", "weight", value=f"{weight} lb"), catalog)
        assert any("cannot be" in each for each in found) == cannot_be, found


@pytest.mark.parametrize(
    ("path", "most"),
    # five times the usual range's end; a breaking strength counts as three times a rating, as the rule set has it
    [
        (("load", "tie_points", "front left", "rated"), 50_000),
        (("load", "tie_points", "front left", "breaking"), 150_000),
        (("mountings", "plated", "ring", "rated"), 20_000),
        (("mountings", "plated", "ring", "breaking"), 60_000),
        (("straps", "front left", "rated"), 29_000),  # 2900 lbf an inch of webbing, 2 in wide
        (("straps", "front left", "breaking"), 87_000),
    ],
)
def test_no_part_holds_five_times_the_most_that_is_usual(path: tuple[str, ...], most: int, catalog: Catalog) -> None:
    for force, cannot_be in ((1.001 * most, True), (0.999 * most, False)):
        found = faults(edited(roadster(), *path, value=f"{force} lbf"), catalog)
        told = [each for each in found if each.startswith(" › ".join(path)) and "is that in another unit?" in each]
        assert bool(told) == cannot_be, found


@pytest.mark.parametrize(
    ("axle", "hitch", "told"),
    [
        ("80 in", "240 in", ""),
        ("0 in", "240 in", ""),
        ("-1 in", "240 in", "the axle does not lie under the deck"),
        ("193 in", "240 in", "the axle does not lie under the deck"),
        ("80 in", "191 in", "the hitch does not lie ahead of the deck's front edge"),
        ("20 in", "21 in", "the hitch does not lie ahead of the deck's front edge"),
        ("80 in", "-40 in", "the hitch does not lie ahead of the deck's front edge"),
        ("80 in", "194 in", "a hitch ahead of the deck by 2 in cannot be"),
        ("80 in", "795 in", "a hitch ahead of the deck by 603 in cannot be"),
        ("190 in", "198 in", "a hitch ahead of the axle by 8 in cannot be"),
    ],
)
def test_axle_and_hitch_lie_where_a_trailer_has_them(axle: str, hitch: str, told: str, catalog: Catalog) -> None:
    texts = roadster()
    texts["trailer"].update(axle_at=axle, hitch_at=hitch)
    found = faults(texts, catalog)
    assert any(told in each for each in found) if told else found == []


@pytest.mark.parametrize(
    ("zone", "off"),
    [
        ((30, 40, 50, 50), False),  # beside the deck and touching it: wells between which the deck lies
        ((30, 41, 50, 50), True),
        ((30, -50, 50, -41), True),
        ((30, -50, 50, 50), False),
        ((-20, 0, -1, 9), True),
        ((193, 0, 200, 9), True),
        ((180, 0, 200, 9), False),
        ((150, 38, 192, 50), True),  # the deck is 36 in to the side in front, 37 in at 150 in
        ((0, 38, 192, 50), False),
    ],
)
@pytest.mark.parametrize("key", ["wheel_wells", "no_go"])
def test_a_zone_off_the_deck_is_told(key: str, zone: tuple[int, int, int, int], off: bool, catalog: Catalog) -> None:
    texts = roadster()
    if zone[1] == 38:
        texts["deck"]["width_front"] = "72 in"
        for anchor in ("front left", "front right"):
            texts["anchors"][anchor]["at"][1] = "30 in"
    x, y, to_x, to_y = zone
    texts["deck"][key] = [{"name": "A", "corner": [f"{x} in", f"{y} in"], "opposite": [f"{to_x} in", f"{to_y} in"]}]
    assert any("does not lie on the deck" in each for each in faults(texts, catalog)) == off


@pytest.mark.parametrize(
    ("width_front", "told"), [("29 in", True), ("31 in", False), ("119 in", False), ("121 in", True)]
)
def test_no_deck_tapers_to_half(width_front: str, told: bool, catalog: Catalog) -> None:
    texts = edited(roadster(), "deck", "width", value="60 in")
    found = faults(edited(texts, "deck", "width_front", value=width_front), catalog)
    assert any("deck › width_front" in each for each in found) == told


def test_an_anchor_off_the_deck_is_told_the_decks_size_and_its_own_place(catalog: Catalog) -> None:
    texts = edited(roadster(), "anchors", "front left", "at", value=["88 ft", "-30 in"])
    texts["deck"]["width_front"] = "72 in"
    (found,) = faults(texts, catalog)
    assert found.startswith("anchors › front left › at: the anchor's base does not lie on the deck, 192 in (4877 mm)")
    assert "long and 72 in (1829 mm) wide there" in found
    assert "it was read as x 1056 in (26822 mm), y -30 in (-762 mm) from the middle of the rear edge" in found


@pytest.mark.parametrize("key", ["width", "width_front"])
@pytest.mark.parametrize(
    ("width", "told"), [("3200 mm", False), ("3201 mm", True), ("10.4 ft", False), ("60 ft", True)]
)
def test_no_deck_of_a_small_trailer_is_wider_than_wide_loads_are(
    key: str, width: str, told: bool, catalog: Catalog
) -> None:
    found = faults(edited(roadster(), "deck", key, value=width), catalog)
    wide = [each for each in found if "no road trailer is wider than 126 in (3200 mm)" in each]
    assert [each.split(":")[0] for each in wide] == ([f"deck › {key}"] if told else [])


@pytest.mark.parametrize(("length", "told"), [("89 in", True), ("90 in", False), ("120 in", False)])
def test_a_load_is_as_long_as_its_wheels_stand_apart(length: str, told: bool, catalog: Catalog) -> None:
    assert (
        any("load › length" in each for each in faults(edited(roadster(), "load", "length", value=length), catalog))
        == told
    )


@pytest.mark.parametrize(
    ("wheel", "at", "told"),
    [
        ("front right", ["{x}", "{y}"], "load › wheels › front right: wheel 'front left' stands at the same place; is"),
        ("rear left", ["{x}", "{y}"], "load › wheels › rear left: wheel 'front left' stands at the same place"),
        ("front right", ["{x}", "{off} in"], ""),
    ],
)
def test_two_wheels_do_not_stand_at_one_place(wheel: str, at: list[str], told: str, catalog: Catalog) -> None:
    x, y = roadster()["load"]["wheels"]["front left"]
    off = float(y.split()[0]) + 0.05  # 1.3 mm
    place = [part.format(x=x, y=y, off=off) for part in at]
    found = faults(edited(roadster(), "load", "wheels", wheel, value=place), catalog)
    assert [each for each in found if told and each.startswith(told)] == found
    # the sign is doubted only where the other side has no wheel left
    assert ["is the sign of a y wrong?" in each for each in found] == ([wheel == "front right"] if told else [])


@pytest.mark.parametrize(
    ("at", "told"),
    [
        (["96 in", "0 in", "0 in"], "a centre of gravity at the height of the deck"),
        (["96 in", "41 in", "18 in"], "the load would tip over"),
        (["-1 in", "0 in", "18 in"], "the load would tip over"),
        (["193 in", "0 in", "18 in"], "the load would tip over"),
    ],
)
def test_the_centre_of_gravity_lies_above_the_deck(at: list[str], told: str, catalog: Catalog) -> None:
    (found,) = faults(edited(roadster(), "load", "centre_of_gravity", value=at), catalog)
    assert found.startswith("load › centre_of_gravity")
    assert told in found


@pytest.mark.parametrize(
    ("height", "kind", "told"),
    [
        ("17 mm", "mower", "a centre of gravity 0.669 in above the deck: no load on wheels has it below 1.97 in"),
        ("49 mm", None, "no load on wheels has it below 1.97 in"),
        ("51 mm", "car", ""),
        ("17 mm", "other", ""),
        ("17 mm", "machine on skids", ""),
    ],
)
def test_no_load_on_wheels_lies_flat(height: str, kind: str | None, told: str, catalog: Catalog) -> None:
    texts = edited(roadster(), "load", "kind", value=kind)
    found = faults(edited(texts, "load", "centre_of_gravity", 2, value=height), catalog)
    assert [each for each in found if "centre_of_gravity" in each and told in each] == found
    assert bool(found) == bool(told)


@pytest.mark.parametrize(
    ("screw", "allowed"), [("#12 self-drilling", True), ("#14 wood screw", False), ("1/2 in lag screw", False)]
)
def test_only_self_drilling_screws_hold_the_deck_down(screw: str, allowed: bool, catalog: Catalog) -> None:
    found = faults(edited(roadster(), "deck", "hold_down", "screw", value=screw), catalog)
    assert [each for each in found if "allowed: #10 self-drilling" in each] == ([] if allowed else found)
    assert bool(found) != allowed


@pytest.mark.parametrize(("width", "told"), [("3 1/4 in", False), ("3.3 in", True), ("4 in", True), ("6 in", True)])
def test_two_bars_lie_beside_each_other(width: str, told: bool, catalog: Catalog) -> None:
    found = faults(edited(roadster(), "mountings", "bridge bars", "backing", "width", value=width), catalog)
    assert any("overlap: their rows of bolts stand 3.25 in (83 mm) apart" in each for each in found) == told
    single = edited(roadster(), "mountings", "bridge bars", "backing", value={
        "kind": "bridge", "width": width, "thickness": "1/2 in", "steel": "mild", "bars": "1",
    })  # fmt: skip
    assert not any("overlap" in each for each in faults(single, catalog))


@pytest.mark.parametrize(("outside", "told"), [("3 1/4 in", False), ("3.3 in", True)])
def test_washers_of_one_mounting_lie_beside_each_other(outside: str, told: bool, catalog: Catalog) -> None:
    found = faults(edited(roadster(), "mountings", "bolts and washers", "backing", "outside", value=outside), catalog)
    assert any("overlap on bolts" in each for each in found) == told


def test_each_bar_lies_under_its_own_bolts() -> None:
    positions: list[tuple[float, float]] = [(1, 2), (1, 3), (0, -1), (1, -2)]
    assert bar_rows(positions, "2") == [2.5, -1.5]
    assert bar_rows(positions, "1") == [0.5]
    assert bar_rows([(1, 0), (-1, 0)], "2") == [0]  # one row takes one bar


def test_a_wheel_does_not_stand_in_its_own_well(catalog: Catalog) -> None:
    def with_well(corner: list[str]) -> list[str]:
        well: dict[str, Any] = {"name": "w", "corner": corner, "opposite": ["62 in", "32 in"]}
        return faults(edited(roadster(), "deck", "wheel_wells", value=[well]), catalog)

    (found,) = with_well(["40 in", "20 in"])
    assert found == "load › wheels › rear left: the wheel stands in wheel well 'w', where there is no deck"
    assert with_well(["40 in", "27 in"]) == []


def test_two_motorcycles_are_no_load_on_four_wheels(catalog: Catalog) -> None:
    """Each would fall over beside the other: as one body their straps on the outer sides would hold both."""
    one = texts_of(next(path for path in SCENARIOS if path.stem == "motorcycle"))
    (front, rear) = one["load"]["wheels"].values()
    for aside, told in ((8.01, True), (7.99, False)):
        beside = {"second front": [front[0], f"{aside} in"], "second rear": [rear[0], f"{aside} in"]}
        two = edited(one, "load", "wheels", value={**one["load"]["wheels"], **beside})
        found = [each for each in faults(two, catalog) if "one line" in each]
        assert bool(found) == told, found
        trike = faults(edited(two, "load", "kind", value="trike"), catalog)
        assert not [each for each in trike if "one line" in each]
