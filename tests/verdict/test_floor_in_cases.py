"""The floor, the wheels and sliding straps in a whole check: what a case asks for, not one ring alone."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from anchorcalc.links import path
from anchorcalc.links.path import Strengths
from anchorcalc.links.piece import _floor, floor_answers
from anchorcalc.links.wheel import UnderWheel
from anchorcalc.result import Result
from anchorcalc.rig.rig import Rig
from anchorcalc.verdict.check import check_rig
from anchorcalc.verdict.demand import strapped_load
from anchorcalc.verdict.forces import Forces
from anchorcalc.verdict.wheels import wheel_loads
from tests.conftest import edited, roadster
from tests.links.setups import LBF, deck, plywood, rig_of

Texts = dict[str, Any]


def result_of(texts: Texts) -> Result:
    return check_rig(rig_of(texts))


def twins(apart: float) -> Texts:
    """The roadster with a second ring and strap behind each front one, on a tie point beside the first."""
    texts = roadster()
    for side, y in (("left", 34), ("right", -34)):
        name = f"twin {side}"
        texts["anchors"][name] = {"at": [f"{172 - apart} in", f"{y} in"], "mounting": "plated"}
        texts["load"]["tie_points"][name] = dict(texts["load"]["tie_points"][f"front {side}"])
        texts["straps"][name] = {**texts["straps"][f"front {side}"], "anchor": name, "to": name}
    return texts


# --- rings that pull in one case ----------------------------------------------------------------------------------


def test_rings_pulled_in_one_case_lift_one_floor() -> None:
    """Two rings 12 in apart behind each other hold less each than where 60 in part them."""

    def limit(texts: Texts) -> float:
        # Rearward the front straps pull: both rings of a side at once.
        cases = Forces(rig := rig_of(texts), Strengths(rig.basis)).cases()
        case = next(each for each in cases if (each.case, each.level) == ("rearward", "breaking"))
        return min(state.limit for state in case.straps if state.tension > 1 and "left" in state.strap)

    assert limit(twins(12)) < 0.95 * limit(twins(60))


def test_rings_and_wheels_in_mirror_places_are_worked_out_once() -> None:
    """The roadster's four rings stand in mirror places, and so do its wheels, whichever way they are pulled."""
    _floor.cache_clear()
    floor_answers.cache_clear()
    check_rig(rig_of(roadster()))
    assert _floor.cache_info().misses == 2


# --- straps over the load -----------------------------------------------------------------------------------------


def over_straps(friction: str, steadying: str) -> Texts:
    """The roadster held by two straps over its body, from side to side, and by nothing else."""
    texts = roadster()
    texts["load"].update(friction=friction, steadying_friction=steadying)
    for end, x in (("front", 120), ("rear", 72)):
        for side, y in (("left", 1), ("right", -1)):
            texts["load"]["tie_points"][f"{end} {side}"]["at"] = [f"{x} in", f"{20 * y} in", "40 in"]
            texts["anchors"][f"{end} {side}"]["at"] = [f"{x} in", f"{34 * y} in"]
            texts["straps"][f"{end} {side}"]["route"] = "over"
    return texts


def test_straps_that_slide_over_a_load_do_not_hold_it_fore_and_aft() -> None:
    held = {case.case: case.held for case in result_of(over_straps("0", "0")).cases}
    assert not held["forward"]
    assert not held["rearward"]
    assert not held["left"]


def test_a_strap_over_the_load_counts_for_nothing_along_its_own_slide() -> None:
    """Fixed at the same points, the same four straps hold the load sideways; over it they press down alone."""
    slid = over_straps("0", "0.3")
    fixed = edited(slid, "straps", "front left", "route", value="direct")
    for name in ("front right", "rear left", "rear right"):
        fixed = edited(fixed, "straps", name, "route", value="direct")
    sideways = {
        which: next(c for c in result_of(texts).cases if (c.case, c.level) == ("left", "working")).held
        for which, texts in (("over", slid), ("fixed", fixed))
    }
    assert sideways == {"over": False, "fixed": True}
    on_load = strapped_load(rig_of(slid)).on_load
    assert np.all(on_load[:, :2] == 0)
    assert np.all(on_load[:, 2] < 0)


def test_the_rating_of_a_strap_over_the_load_counts_once() -> None:
    """Two straps over the load, each written as its two halves: together no more than two ratings."""
    thumb = result_of(over_straps("0.5", "0.5")).rule_of_thumb
    assert thumb.provided <= 2 * 1666 * LBF * 1.001  # the ring's rating limits each


# --- wheels -------------------------------------------------------------------------------------------------------


def wheel_requirement(texts: Texts) -> Any:
    return next(each for each in result_of(texts).requirements if each.name == "deck under the wheels")


def test_wheel_loads_by_hand() -> None:
    """1 650 lb at rest, centre 96 in of wheels at 51 and 141 in: half on each axle, 412.5 lb a wheel.

    Braked at 0.5 g from 18 in height: 1 650 · 0.5 · 18 / 90 = 165 lb go from one axle to the other.
    """
    rig: Rig = rig_of(roadster())
    load = strapped_load(rig)
    rest, braked = wheel_loads(load, np.array([[0.0, 0, 0], [0.5, 0, 0]]), np.zeros((2, 4))) / LBF
    assert rest == pytest.approx(np.full(4, 412.5), rel=1e-6)
    front = load.wheels[:, 0] > 2.0
    assert braked[front] == pytest.approx(412.5 + 82.5, rel=1e-6)
    assert braked[~front] == pytest.approx(412.5 - 82.5, rel=1e-6)


def test_what_a_wheel_that_comes_off_would_pull_goes_to_the_others() -> None:
    """1 000 N over wheels at (±1, ±0.5) m, its middle 0.5 m ahead and 0.6 m up, pushed to the left by half a g.

    At rest 375 N on each front wheel and 125 on each rear one. 300 N·m roll it: 150 N on or off each wheel of two like
    axles, so that the right rear one would have to pull 25. Off the deck it leaves the three others 25 N more or less:
    (550 + 250 - 200) · 0.5 = 300 N·m, (550 + 200 - 250) · 1 = 500 N·m, 1 000 N in all.
    """
    at = np.array([[1.0, 0.5, 0.0], [1.0, -0.5, 0.0], [-1.0, 0.5, 0.0], [-1.0, -0.5, 0.0]])
    load = replace(strapped_load(rig_of(roadster())), weight=1000.0, centre=np.array([0.5, 0.0, 0.6]), wheels=at)
    pushed = np.array([[0.0, 0.25, 0.0], [0.0, 0.5, 0.0]])
    gently, hard = wheel_loads(load, pushed, np.zeros((2, 4)))
    assert gently == pytest.approx([450.0, 300.0, 200.0, 50.0], rel=1e-9)
    assert hard == pytest.approx([550.0, 200.0, 250.0, 0.0], rel=1e-6, abs=1e-3)


def test_a_wheel_that_breaks_the_deck_is_told_before_one_that_asks_more_than_daily_use(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """All four press alike: thrice what is allowed under the rear ones, 1.5 times what breaks under the front ones."""
    asked = wheel_requirement(roadster()).value[0]
    rear, front = UnderWheel(asked / 3, 10 * asked), UnderWheel(asked / 2, asked / 1.5)
    monkeypatch.setattr(path, "deck_under_wheel", lambda _, at, *__: front if at[0] > 2.0 else rear)
    found = wheel_requirement(roadster())
    assert (found.verdict, found.limit[0]) == ("fail", asked / 2)
    monkeypatch.setattr(path, "deck_under_wheel", lambda *_: rear)
    assert wheel_requirement(roadster()).verdict == "marginal"


def test_what_is_asked_of_the_deck_under_a_wheel_says_what_is_in_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """1 650 lb on four wheels: 412.5 lb each, hand tension on top, 1.5 times at rest; a high load leans harder."""
    bears = UnderWheel(100 * LBF, 5000 * LBF)
    monkeypatch.setattr(path, "deck_under_wheel", lambda *_: bears)
    loose, high = roadster(), roadster()
    for strap in loose["straps"].values():
        strap["hand_tension"] = "0 lbf"
    found = wheel_requirement(loose)
    assert found.value[0] == pytest.approx(1.5 * 412.5 * LBF, rel=1e-6)
    assert found.provided == "619 lbf under front left (1.5 times at rest, with hand tension)"
    assert found.required == "no more than 100 lbf daily, 5,000 lbf at most"
    assert found.limit == (bears.working, bears.breaking)
    assert wheel_requirement(roadster()).value[0] > 1.5 * 412.5 * LBF
    high["load"]["centre_of_gravity"][2] = "60 in"
    assert "(in a swerve to the right, with hand tension)" in wheel_requirement(high).provided


def test_a_thin_deck_on_wide_members_fails_under_a_light_machine() -> None:
    """700 lb on 15/32 in plywood over members 32 in apart, wheels in mid-span; 3/4 in on 16 in bears it."""
    texts = roadster()
    texts["load"]["weight"] = "700 lb"
    at = {"front": "136 in", "rear": "40 in"}  # middles of bays of 32 in from 24 in on
    for name in texts["load"]["wheels"]:
        texts["load"]["wheels"][name][0] = at[name.split()[0]]
    thin = {
        **texts,
        "deck": {**deck(plywood("15/32 in"), spacing=32.0, first=24.0), "width": "80 in", "length": "192 in"},
    }
    assert wheel_requirement(thin).verdict != "pass"
    good = {**texts, "deck": {**deck(plywood(), spacing=16.0, first=16.0), "width": "80 in", "length": "192 in"}}
    assert wheel_requirement(good).verdict != "fail"
    assert wheel_requirement(good).limit[0] > 1.5 * wheel_requirement(thin).limit[0]
