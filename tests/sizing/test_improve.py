"""`improve`: what is promised is what is found, and nothing shorter in the list does it."""

from __future__ import annotations

import copy
import math
from collections.abc import Callable
from itertools import combinations
from typing import Any

import numpy as np
import pytest

from anchorcalc.catalog.tables import Catalog
from anchorcalc.interview.guided import table
from anchorcalc.links.common import Neighbour
from anchorcalc.reading.faults import InputFaults
from anchorcalc.resources import data_folder
from anchorcalc.rig.resolve import resolve
from anchorcalc.scenario.read import parse_scenario
from anchorcalc.scenario.writer import scenario_text
from anchorcalc.sizing.improve import ImproveError, Improver
from anchorcalc.sizing.improve_changes import _OF_BACKING, changes
from anchorcalc.sizing.strap_changes import LIGHTLY
from anchorcalc.sizing.workbench import WithoutFloor, worst_utilisation
from anchorcalc.units import parse_quantity
from anchorcalc.verdict.check import check, check_rig
from tests.conftest import texts_of
from tests.links.setups import UP
from tests.links.setups import rig_of as links_rig
from tests.links.test_shared_bases import FOUR, shared

pytestmark = pytest.mark.timeout(600)

FIVE = ("roadster", "roadster-screws", "orchard-tractor", "utility-cart-angle", "cart-held-endways-only")


def named(name: str) -> dict[str, Any]:
    return copy.deepcopy(texts_of(data_folder("scenarios") / f"{name}.yaml"))


@pytest.fixture(scope="module")
def improvers(catalog: Catalog) -> dict[str, Improver]:
    """Each scenario's search, run once."""
    return {}


def improver(name: str, known: dict[str, Improver], catalog: Catalog) -> Improver:
    if name not in known:
        known[name] = Improver(named(name), catalog)
    return known[name]


@pytest.mark.parametrize("name", FIVE)
def test_promised_and_found_agree(name: str, improvers: dict[str, Improver], catalog: Catalog) -> None:
    found = improver(name, improvers, catalog)
    answer = found.answer()
    promises: list[tuple[tuple[int, ...], str, float]] = [
        ((k,), each.verdict, each.worst_utilisation) for k, each in enumerate(answer.changes)
    ]
    if answer.together is not None:
        promises.append((answer.shortest, answer.together.verdict, answer.together.worst_utilisation))
    for numbers, verdict, used in promises:
        text = scenario_text(found.content_with(numbers), ["as promised"])
        result = check(parse_scenario(text, "written", catalog=catalog), catalog)
        assert result.verdict == verdict, answer.changes[numbers[0]].what
        same = math.isclose(worst_utilisation(result), used, rel_tol=1e-9)
        assert same or worst_utilisation(result) == used == math.inf


def loose_mower() -> dict[str, Any]:
    """Ratcheted far too hard, on hooks nobody rated: two things to put right."""
    texts = named("mower-planks")
    texts["load"]["weight"] = "380 lb"  # which a light pull suits; as heavy as it is it would take less than that
    for strap in texts["straps"].values():
        strap["hand_tension"] = "700 lbf"
    for point in ("front left", "front right"):
        del texts["load"]["tie_points"][point]["rated"]
    return texts


def cart_on_unrated_hooks() -> dict[str, Any]:
    """Nobody rated the hooks; the rest holds."""
    texts = named("utility-cart-angle")
    for point in ("front left", "front right"):
        del texts["load"]["tie_points"][point]["rated"]
    return texts


def screws_on_unrated_hooks() -> dict[str, Any]:
    """Rings that tear out, on hooks nobody rated: steel under the deck, and something to hook to."""
    texts = named("roadster-screws")
    for point in texts["load"]["tie_points"].values():
        point.pop("rated", None)
        point.pop("breaking", None)
    return texts


def passes(found: Improver, numbers: tuple[int, ...], catalog: Catalog) -> bool:
    """Whether a set of changes passes, by writing and checking it; one that excludes itself does not."""
    try:
        text = scenario_text(found.content_with(numbers))
    except ImproveError:
        return False
    try:
        return check(parse_scenario(text, "tried", catalog=catalog), catalog).verdict == "pass"
    except InputFaults:
        return False


@pytest.mark.parametrize(
    ("texts", "length"), [(loose_mower, 2), (cart_on_unrated_hooks, 1), (screws_on_unrated_hooks, 2)]
)
def test_nothing_shorter_in_the_list_passes(texts: Callable[[], dict[str, Any]], length: int, catalog: Catalog) -> None:
    found = Improver(texts(), catalog)
    answer = found.answer()
    assert len(answer.shortest) == length
    assert answer.sets_left == 0
    assert passes(found, answer.shortest, catalog)
    if length > 1:
        assert not any(passes(found, (number,), catalog) for number in range(len(answer.changes)))


def test_of_the_shortest_sets_one_with_the_least_work_is_taken(catalog: Catalog) -> None:
    found = Improver(loose_mower(), catalog)
    answer = found.answer()
    pairs = [pair for pair in combinations(range(len(answer.changes)), 2) if passes(found, pair, catalog)]
    assert answer.shortest in pairs
    efforts = [sorted(answer.changes[number].effort for number in pair) for pair in pairs]
    assert sorted(answer.changes[number].effort for number in answer.shortest) == ["minutes with a wrench"] * 2
    assert ["minutes with a wrench"] * 2 in efforts


def test_where_nothing_passes_it_says_what_governs(catalog: Catalog) -> None:
    answer = Improver(named("limousine-too-heavy"), catalog).answer()
    assert answer.shortest == ()
    assert "light-vehicle rule" in answer.governs


def test_what_keeps_the_best_set_from_passing_is_told(improvers: dict[str, Improver], catalog: Catalog) -> None:
    # Bars, less tension and rated hooks leave the tractor's thin angles, whose rails nobody measured.
    answer = improver("orchard-tractor", improvers, catalog).answer()
    assert answer.shortest == ()
    assert "cross-member bends" in answer.governs
    # Known rails alone would not do either: the deck under the tractor's wheels is short as well.
    assert answer.conditions == ()
    # What is said of the changes that come nearest is what they come to when they are written.
    text = scenario_text(improvers["orchard-tractor"].content_with(answer.nearest))
    written = check(parse_scenario(text, "written", catalog=catalog), catalog)
    assert worst_utilisation(written) == pytest.approx(answer.nearest_utilisation, rel=1e-9)


def test_changes_are_told_best_first(improvers: dict[str, Improver], catalog: Catalog) -> None:
    changes = improver("roadster-screws", improvers, catalog).answer().changes
    order = {"pass": 0, "marginal": 1, "fail": 2}
    assert [order[each.verdict] for each in changes] == sorted(order[each.verdict] for each in changes)
    # All of these need new steel: of what passes the lightest is told first; of the rest what leaves most.
    passing = [each for each in changes if each.verdict == "pass"]
    assert len({each.effort for each in passing}) == 1 < len(passing)
    assert [each.added_weight for each in passing] == sorted(each.added_weight for each in passing)
    rest = [each.worst_utilisation for each in changes[len(passing) :]]
    assert rest == sorted(rest)


def test_a_steel_plate_weighs_what_its_steel_weighs(improvers: dict[str, Improver], catalog: Catalog) -> None:
    # Plates in place of screws: 7850 kg/m³ (EN 10025 steels) times the sides; the bolts come on top [computed].
    found = improver("roadster-screws", improvers, catalog)
    plates = [each for each in found.answer().changes if each.what == "a steel plate under all bolts"]
    assert plates
    for each in plates:
        sides, thick = each.to.removesuffix(" thick").split(" in, ")
        along, wide = (parse_quantity(f"{side} in", "length") for side in sides.split(" × "))
        steel = 4 * along * wide * parse_quantity(thick, "length") * 7850 * 9.80665
        assert steel < each.added_weight < steel + 40.0


def test_rings_with_larger_holes_and_rings_farther_from_the_hooks_are_offered(catalog: Catalog) -> None:
    texts = named("roadster")  # plated, on 1/2-13 bolts; its rear rings stand at 20 in and hook at 56 in
    texts["load"]["weight"] = "5000 lb"
    rig = resolve(parse_scenario(scenario_text(texts), "heavy", catalog=catalog), catalog)
    found = list(changes(texts, rig, check_rig(rig), catalog))
    (thicker,) = (each for each in found if "larger holes" in each.what)
    fasteners = thicker.applied(texts)["mountings"]["plated"]["fasteners"]
    assert fasteners["size"] == "5/8-11"
    assert {**fasteners, "size": "1/2-13"} == texts["mountings"]["plated"]["fasteners"]
    flatter = [each.applied(texts)["anchors"] for each in found if "flatter" in each.what]
    # The last member is at 184 in, 2 in wide; the plate 6 in long, 1/4 in beside it: 184 - 1 - 3 - 1/4 = 179 3/4 in.
    assert [places["front left"]["at"] for places in flatter] == [["179 3/4 in", "34 in"]]
    assert [places["rear left"]["at"] for places in flatter] == [["12 1/4 in", "34 in"]]


def test_more_rings_are_not_tried_where_less_passes(catalog: Catalog) -> None:
    texts = named("roadster-screws")
    for name, point in texts["load"]["tie_points"].items():  # beyond the wheels: straps that clear the tyres
        point["at"][0] = "152 in" if "front" in name else "40 in"
    texts["load"]["weight"] = "1200 lb"
    answer = Improver(texts, catalog).answer()
    assert len(answer.shortest) == 1
    assert any("another strap" in what for what in answer.untried)
    assert not {each.what for each in answer.changes} & set(answer.untried) - {
        "more hold-down screws in the members near the rings"
    }


def beyond_the_wheels() -> dict[str, Any]:
    """Hooks beyond the wheels and rings beyond the hooks: clear of the tyres, but not from one bay nearer."""
    texts = named("roadster-screws")
    texts["deck"]["cross_members"] |= {"spacing": "24 in", "first_at": "4 in"}  # 4, 28, …, 172 in
    for name, anchor in texts["anchors"].items():
        end, side = name.split(" ")
        y = 1 if side == "left" else -1
        anchor["at"] = ["172 in" if end == "front" else "6 in", f"{30 * y} in"]
        hook = "152 in" if end == "front" else "40 in"
        texts["load"]["tie_points"][name]["at"] = [hook, f"{17 * y} in", "12 in"]
    return texts


def test_no_strap_is_led_through_a_tyre(catalog: Catalog) -> None:
    """A second ring one bay inward would have its strap through the wheel: not offered, nor taken with others."""
    texts = beyond_the_wheels()
    rig = resolve(parse_scenario(scenario_text(texts), "beyond", catalog=catalog), catalog)
    assert rig.through_tyres == ()
    found = Improver(texts, catalog)
    assert found.changes
    assert not any("another strap" in change.what for change in found.changes)
    for number in range(len(found.changes)):
        changed = parse_scenario(scenario_text(found.content_with((number,))), "changed", catalog=catalog)
        assert resolve(changed, catalog).through_tyres == ()


def test_what_passes_has_no_changes(catalog: Catalog) -> None:
    answer = Improver(named("mower-planks"), catalog).answer()
    assert answer.verdict == "pass"
    assert answer.changes == ()
    assert answer.shortest == ()


def test_changes_that_exclude_each_other_are_refused(improvers: dict[str, Improver], catalog: Catalog) -> None:
    found = improver("roadster-screws", improvers, catalog)
    backings = [number for number, change in enumerate(found.changes) if "mounting" in change.slots]
    with pytest.raises(ImproveError, match="exclude"):
        found.content_with(backings[:2])
    with pytest.raises(ImproveError, match="numbered 1 to"):
        found.content_with([99])


def test_what_a_ring_holds_without_the_floor_hangs_on_its_mates_on_the_base() -> None:
    """Asked for one way its mates are pulled, another is another question."""
    rig = links_rig(shared(FOUR, (0, 1.5), (0, -1.5)))
    first, second = rig.anchors["ring 1"], rig.anchors["ring 2"]
    known, up = WithoutFloor(rig.basis), np.array(UP)
    alone, both = (known.along(first, up, beside).working for beside in ((), (Neighbour(second, UP),)))
    assert both == pytest.approx(WithoutFloor(rig.basis).along(first, up, (Neighbour(second, UP),)).working)
    assert both < 0.98 * alone


def test_no_ratchet_is_asked_to_be_pulled_less_than_lightly(catalog: Catalog) -> None:
    """What `start` writes for a light pull is the least that is offered."""
    (asked,) = (row for row in table() if row.key == "hand tension")
    assert parse_quantity(asked.words["lightly"], "force") == pytest.approx(LIGHTLY, rel=1e-4)
    for hand, offered in (("700 lbf", ["350 lbf", "200 lbf"]), ("500 lbf", ["250 lbf", "200 lbf"]), ("220 lbf", [])):
        texts = named("roadster-screws")
        for strap in texts["straps"].values():
            strap["hand_tension"] = hand
        rig = resolve(parse_scenario(scenario_text(texts), "tight", catalog=catalog), catalog)
        found = [each for each in changes(texts, rig, check_rig(rig), catalog) if "ratchets less" in each.what]
        assert [each.to for each in found] == [f"no more than {each}" for each in offered]


def test_what_changes_settle_is_named_as_start_names_it(catalog: Catalog) -> None:
    """Each change drops the guesses it replaces, and no other."""
    asked = {row.key for row in table()}
    texts = named("roadster-screws") | {"assumed": dict.fromkeys(sorted(asked), "so (guess)")}
    rig = resolve(parse_scenario(scenario_text(named("roadster-screws")), "guessed", catalog=catalog), catalog)
    settled = {
        each.what: asked - set(each.applied(texts)["assumed"]) for each in changes(texts, rig, check_rig(rig), catalog)
    }
    assert settled["more hold-down screws in the members near the rings"] == {"hold-down spacing"}
    assert settled["cross the straps of each end"] == {"crossed"}
    assert settled["bolts on large washers"] == set(_OF_BACKING)
    assert settled["rings with larger holes, for thicker bolts"] == {"fastener size"}


def test_no_ring_between_members_is_moved_onto_a_loose_end_or_nearer_its_hook(catalog: Catalog) -> None:
    texts = named("roadster-screws")  # members 8 in, 24 in, …, 184 in; hooks at 136 and 56 in
    for name, anchor in texts["anchors"].items():
        anchor["at"][0] = "184 in" if "front" in name else "8 in"
    rig = resolve(parse_scenario(scenario_text(texts), "over the ends", catalog=catalog), catalog)
    moved: dict[str, list[float]] = {}
    for each in changes(texts, rig, check_rig(rig), catalog):
        places = [parse_quantity(anchor["at"][0], "length") for anchor in each.applied(texts)["anchors"].values()]
        moved.setdefault(each.what, places)
        assert min(places) >= rig.floor.lines[0] - 1e-9, each.what
        assert max(places) <= rig.floor.lines[-1] + 1e-9, each.what
    # Bolts 3 1/4 in apart: the ring's middle stands 1 5/8 in from the member that a row goes through.
    through = moved["rings moved so that a row of their bolts goes through a cross-member"]
    assert sorted({round(x / 0.0254, 6) for x in through}) == [9.625, 182.375]
    assert "rings moved farther from the hooks: longer, flatter straps" not in moved
    (bolted,) = (each.applied(texts) for each in changes(texts, rig, check_rig(rig), catalog) if "a row" in each.what)
    rows = {
        name: bolted["mountings"][anchor["mounting"]]["backing"]["through"]
        for name, anchor in bolted["anchors"].items()
    }
    assert rows == {"front left": "front", "front right": "front", "rear left": "rear", "rear right": "rear"}
    assert check(parse_scenario(scenario_text(bolted), "bolted", catalog=catalog), catalog).crowded == ()


def small_plates() -> dict[str, Any]:
    """Bolts 1/2 in through plates 4 1/2 in: 5/8 in to their edges, where 1.5 D is 3/4 in (AISC 360 table J3.4)."""
    texts = named("roadster")
    texts["mountings"]["plated"]["backing"]["size"] = ["4 1/2 in", "4 1/2 in"]
    return texts


def test_plates_too_small_for_their_holes_are_put_right(catalog: Catalog) -> None:
    rig = resolve(parse_scenario(scenario_text(small_plates()), "small", catalog=catalog), catalog)
    result = check_rig(rig)
    assert [each.key for each in result.requirements if each.verdict != "pass"] == ["distances"]
    found = [each for each in changes(small_plates(), rig, result, catalog) if "steel plate" in each.what]
    assert found
    for each in found:
        changed = parse_scenario(scenario_text(each.applied(small_plates())), each.to, catalog=catalog)
        assert {d.kept for sheet in check(changed, catalog).sheet.mountings[-1:] for d in sheet.distances} == {True}
    assert Improver(small_plates(), catalog).answer().together is not None


def test_a_set_longer_than_those_tried_has_nothing_needless(monkeypatch: pytest.MonkeyPatch, catalog: Catalog) -> None:
    texts = small_plates()
    for strap in texts["straps"].values():
        strap["hand_tension"] = "700 lbf"
    for point in texts["load"]["tie_points"].values():
        point.pop("rated", None)
        point.pop("breaking", None)
    monkeypatch.setattr("anchorcalc.sizing.improve._LARGEST_SET", 1)  # change by change at once
    found = Improver(texts, catalog)
    answer = found.answer()
    assert len(answer.shortest) >= 3
    assert passes(found, answer.shortest, catalog)
    for number in answer.shortest:
        assert not passes(found, tuple(each for each in answer.shortest if each != number), catalog)


def test_rings_nobody_rated_are_offered_as_rated_ones(catalog: Catalog) -> None:
    texts = named("roadster")
    for mounting in texts["mountings"].values():
        mounting["ring"].pop("rated", None)
        mounting["ring"].pop("breaking", None)
    found = Improver(texts, catalog)
    answer = found.answer()
    (number,) = answer.shortest
    assert answer.changes[number].what == "rated rings, or the rating of those found"
    assert answer.changes[number].to.startswith("a working load limit of 3333 lbf")  # as its straps are
    for point in texts["load"]["tie_points"].values():
        point.pop("rated", None)
    both = Improver(texts, catalog).answer()
    assert len(both.shortest) == 2
    # Straps that nobody rated either: no change rates them, and that is said.
    for strap in texts["straps"].values():
        del strap["rated"]
    lost = Improver(texts, catalog).answer()
    assert lost.shortest == ()
    assert "strap front left" in lost.governs
    assert "without, nothing passes" in lost.governs
