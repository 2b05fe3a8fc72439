"""From load cases to strap pulls: by hand, and against EN 12195-1."""

from __future__ import annotations

import numpy as np
import pytest
from msgspec.structs import replace

from anchorcalc.catalog.rules import LoadCase
from anchorcalc.verdict.demand import StrappedLoad, friction_against, strap_pulls, strapped_load, turning_share
from tests.conftest import roadster
from tests.links.setups import rig_of

WEIGHT = 1500 * 9.81


def case(name: str, acceleration: tuple[float, float, float], *, gravity: bool = True) -> LoadCase:
    # No rule set may ask for as little as some of these.
    return LoadCase.model_construct(
        case=name, level="working", acceleration=acceleration, gravity=gravity, source="test"
    )


def four_straps(
    *, friction: float = 0.0, steadying: float = 0.3, hand_tension: float = 0.0, over: bool = False
) -> StrappedLoad:
    """Four straps 35 degrees down, 30 degrees off the long axis in plan, all through corners at axle height."""
    alpha, beta = np.radians(35), np.radians(30)
    corners = np.array([[x, y, 0.5] for x in (1.0, -1.0) for y in (0.6, -0.6)])
    away = np.sign(corners) * [np.cos(alpha) * np.cos(beta), np.cos(alpha) * np.sin(beta), 0] - [0, 0, np.sin(alpha)]
    return StrappedLoad(
        weight=WEIGHT,
        centre=np.array([0.0, 0.0, 0.5]),
        wheels=np.array([[x, y, 0.0] for x in (1.2, -1.2) for y in (0.7, -0.7)]),
        friction=friction,
        steadying_friction=(steadying, steadying),
        tie_points=corners,
        rings=corners + 0.5 / np.sin(alpha) * away,
        stiffness=np.full(4, 2e5),
        hand_tension=np.full(4, hand_tension),
        over=np.full(4, over),
        leg_of=np.arange(4),
        grip=(0.0, 0.0),
        stops=np.zeros((0, 3)),
        pushing=np.zeros((0, 3)),
        stop_limits=np.zeros((0, 2)),
    )


FORWARD, SIDEWAYS = case("forward", (0.8, 0, 0)), case("left", (0, 0.5, 0))


def test_direct_lashing_without_friction() -> None:
    # EN 12195-1, diagonal lashing, 1 500 kg at 35 and 30 degrees, two straps act: 8.297 kN forward;
    # sideways (60 degrees off the transverse axis) 8.982 kN. Closed forms of the standard, worked by hand.
    pulls = strap_pulls(four_straps(), [FORWARD, SIDEWAYS]).pulls
    assert pulls[0] == pytest.approx([0, 0, 8297, 8297], rel=1e-4, abs=1e-3)
    assert pulls[1] == pytest.approx([0, 8982, 0, 8982], rel=1e-4, abs=1e-3)


def test_direct_lashing_with_friction() -> None:
    # As above with mu 0.3 and f_mu 0.75: 5.046 kN and 3.756 kN.
    pulls = strap_pulls(four_straps(friction=0.75 * 0.3, steadying=0.0), [FORWARD, SIDEWAYS]).pulls
    assert pulls[0].max() == pytest.approx(5046, rel=2e-4)
    assert pulls[1].max() == pytest.approx(3756, rel=2e-4)


def test_symmetric_set_ups_do_not_feel_steadying_friction() -> None:
    with_it, without = (strap_pulls(four_straps(steadying=mu), [FORWARD, SIDEWAYS]) for mu in (0.3, 0.0))
    assert with_it.pulls == pytest.approx(without.pulls, rel=1e-9, abs=1e-6)
    load, cases = four_straps(steadying=0.3), [FORWARD, SIDEWAYS]
    assert turning_share(load, cases, with_it) == pytest.approx([0, 0], abs=1e-7)


def test_at_rest_the_hand_tension_comes_back() -> None:
    rest = case("forward", (0, 0, 0))
    assert strap_pulls(four_straps(hand_tension=700.0), [rest]).pulls[0] == pytest.approx(np.full(4, 700.0), rel=1e-9)


def test_hand_tension_is_counted_once() -> None:
    # Until the slack side lets go, a pretensioned pair gains on one side what it loses on the other.
    small = case("forward", (0.02, 0, 0))
    pulls = strap_pulls(four_straps(hand_tension=700.0), [small]).pulls[0]
    change = 0.02 * WEIGHT / (4 * np.cos(np.radians(35)) * np.cos(np.radians(30)))
    assert pulls == pytest.approx([700 - change, 700 - change, 700 + change, 700 + change], rel=1e-6)


def test_the_upward_case_pulls_each_strap_alike() -> None:
    up = case("upward", (0, 0, 0.2), gravity=False)
    pulls = strap_pulls(four_straps(), [up]).pulls[0]
    assert pulls == pytest.approx(np.full(4, 0.2 * WEIGHT / (4 * np.sin(np.radians(35)))), rel=1e-6)


def test_uneven_straps_show_what_turning_costs() -> None:
    load = four_straps(steadying=0.0)
    lopsided = replace(load, centre=np.array([0.0, 0.05, 0.5]))
    found = strap_pulls(lopsided, [FORWARD])
    assert not found.held[0] or turning_share(lopsided, [FORWARD], found)[0] > 0.01
    steadied = replace(lopsided, steadying_friction=(0.3, 0.3))
    held = strap_pulls(steadied, [FORWARD])
    assert held.held[0]
    assert held.pulls.max() < 1.3 * 8297


def test_straps_over_the_load_press_it_down_and_hold_nothing_along_their_way() -> None:
    # Four halves at 35 degrees, T each: 4 T sin 35 presses down, nothing pushes along. Without friction nothing holds.
    found = strap_pulls(four_straps(over=True, steadying=0.0), [FORWARD, SIDEWAYS])
    assert not found.held.any()
    # A bump of 0.2 of the weight: 0.2 W = 4 T sin 35, T = 0.2 * 14 715 / (4 * 0.57358) = 1282.7 N.
    bump = strap_pulls(four_straps(over=True), [case("upward", (0, 0, 0.2), gravity=False)])
    assert bump.held[0]
    assert bump.pulls[0] == pytest.approx(np.full(4, 1282.7), rel=1e-4)


def test_friction_under_straps_over_the_load_is_that_of_their_hand_tension() -> None:
    # EN 12195-1, top-over lashing: mu (W + 4 T sin 35) = 0.8 W holds at mu 0.5 from T = 0.6 * 14 715 / (4 * 0.57358) =
    # 3848.2 N on. A load that slides under such straps does not stretch them: with less it goes.
    for hand_tension, held in ((3900.0, True), (3800.0, False)):
        found = strap_pulls(four_straps(over=True, friction=0.5, hand_tension=hand_tension), [FORWARD])
        assert found.held.tolist() == [held]
        assert found.pulls[0] == pytest.approx(np.full(4, hand_tension if held else 0.0), rel=1e-6)


def test_a_bump_leaves_no_counted_friction_under_the_wheels() -> None:
    up = case("upward", (0, 0, 0.2), gravity=False)
    one = four_straps(friction=0.5)
    assert strap_pulls(one, [up]).pulls == pytest.approx(strap_pulls(four_straps(steadying=0.0), [up]).pulls)


@pytest.mark.parametrize(
    ("steadying", "pulls"),
    [
        # One strap straight down and one ahead at 45° through the weight, 0.2 of 1000 N up: nothing holds level against
        # the second, or wheels pressed with 200 N that rub by 60 N, or as softness would have it: 200 / 1.5 and 94.3.
        (0.0, (200.0, 0.0)),
        (0.3, (140.0, 60 * 2**0.5)),
        (0.5, (400 / 3, 200 / 3 * 2**0.5)),
    ],
)
def test_what_the_straps_press_down_steadies_a_load_in_a_bump(steadying: float, pulls: tuple[float, float]) -> None:
    middle, ways = np.zeros((2, 3)), np.array([[0.0, 0, -1], [1.0, 0, -1]])
    given = {
        **{"weight": 1000.0, "centre": middle[0], "tie_points": middle, "rings": middle + ways},
        **{"wheels": np.array([[1.0, 0, 0], [-1.0, 0, 0]]), "stiffness": np.ones(2), "hand_tension": np.zeros(2)},
        **{"leg_of": np.arange(2), "over": np.zeros(2, dtype=bool)},
    }
    found = strap_pulls(
        replace(four_straps(steadying=steadying), **given), [case("upward", (0, 0, 0.2), gravity=False)]
    )
    assert found.held.tolist() == [True]
    assert found.pulls[0] == pytest.approx(pulls, rel=1e-6, abs=1e-6)


def test_straps_a_hand_out_of_line_hold_in_a_bump() -> None:
    """Four pulls cannot meet six conditions exactly: one hook 4 in off was told as held by nothing."""
    texts = roadster()
    texts["load"]["tie_points"]["front left"]["at"] = ["134 in", "20 in", "10 in"]
    rig = rig_of(texts)
    found = strap_pulls(strapped_load(rig), rig.rules.cases)
    bump = next(number for number, each in enumerate(rig.rules.cases) if each.case == "upward")
    assert found.held[bump]
    even = strap_pulls(strapped_load(rig_of(roadster())), rig.rules.cases).pulls[bump].max()
    assert even < found.pulls[bump].max() < 1.3 * even


def test_what_of_a_pull_only_stops_the_load_from_turning_by_hand() -> None:
    # Two level straps along the trailer 0.6 m left and right of its middle, the weight 0.3 m left: 0.8 · 14 715 =
    # 11 772 N comes by 3 to 1, 8829 and 2943; let go free to turn each would have 5886: a third of 8829.
    level = np.array([[-1.0, y, 0.5] for y in (0.6, -0.6)])
    given = {
        "tie_points": level,
        "rings": level - [2.0, 0, 0],
        "leg_of": np.arange(2),
    }
    given |= {"stiffness": np.full(2, 2e5), "hand_tension": np.zeros(2), "over": np.zeros(2, dtype=bool)}
    load = replace(four_straps(steadying=0.0), **given, centre=np.array([0.0, 0.3, 0.5]))
    found = strap_pulls(load, [FORWARD, SIDEWAYS])
    assert found.pulls[0] == pytest.approx([8829, 2943], rel=1e-6)
    assert found.held.tolist() == [True, False]
    assert turning_share(load, [FORWARD, SIDEWAYS], found) == pytest.approx([1 / 3, 0.0], rel=1e-6)
    # Nothing pulls at rest, and nothing turns.
    rest = [case("rest", (0, 0, 0))]
    assert turning_share(load, rest, strap_pulls(load, rest)) == [0.0]


def test_grip_between_its_two_directions() -> None:
    # 0.3 lengthways and 0.6 sideways, as a pyramid: at 3-4-5 1 / (0.6 / 0.3 + 0.8 / 0.6) = 0.3; friction if more.
    gripped = replace(four_straps(), grip=(0.3, 0.6))
    for way, grip in (((1, 0, 0), 0.3), ((0, -1, 0), 0.6), ((0.6, 0.8, 0), 0.3), ((-0.8, 0.6, 0), 1 / (0.8 / 0.3 + 1))):
        assert friction_against(gripped, np.array(way, dtype=float)) == pytest.approx(grip)
    rubs = replace(gripped, friction=0.4)
    assert friction_against(rubs, np.array([1.0, 0, 0])) == 0.4
    one_way = replace(gripped, grip=(0.0, 0.6))
    assert friction_against(one_way, np.array([0.6, 0.8, 0])) == 0.0
    assert friction_against(one_way, np.array([0.0, 1.0, 0])) == pytest.approx(0.6)
    assert [each.rubs for each in (four_straps(), rubs, one_way)] == [False, True, True]
    assert four_straps(friction=0.1).rubs


def test_a_rig_as_numbers() -> None:
    texts = roadster()
    texts["load"]["stops"] = {"chock": {"at": ["150 in", "10 in", "8 in"], "pushes": "rearward", "rated": "1000 lbf"}}
    load = strapped_load(rig_of(texts))
    lbf = 4.4482216
    # Of a stop's rating, and of three times that, the share counts with which a case passes: 0.8.
    assert load.stop_limits / lbf == pytest.approx(np.array([[2400.0, 800.0]]), rel=1e-6)
    assert load.pushing.tolist() == [[-1, 0, 0]]
    assert load.stops / 0.0254 == pytest.approx(np.array([[150, 10, 8]]))
    assert load.wheels[:, 2].tolist() == [0.0] * len(load.wheels)
    assert np.linalg.norm(load.directions, axis=1) == pytest.approx(np.ones(len(load.rings)))
    assert (load.directions[:, 2] > 0).all()  # up from the deck


def test_a_small_bump_takes_from_the_wheels_what_the_straps_pressed_on_them() -> None:
    # Weight near the front wheels, straps about the middle at 5000 N: a bump of 0.05 lifts no wheel and stretches none.
    small = case("upward", (0, 0, 0.05), gravity=False)
    ahead = replace(four_straps(hand_tension=5000.0), centre=np.array([1.1, 0.0, 0.5]))
    assert strap_pulls(ahead, [small]).pulls[0] == pytest.approx(np.full(4, 5000.0), rel=1e-6)


def test_a_stop_that_is_too_weak_is_said_to_push_nothing() -> None:
    # 0.8 · 14 715 N forward on a stop good for 1 kN, straps over the load hold nothing along: not held.
    over = four_straps(over=True, steadying=0.0)
    stop = {
        "stops": np.array([[1.2, 0, 0.5]]),
        "pushing": np.array([[-1.0, 0, 0]]),
        "stop_limits": np.full((1, 2), 1e3),
    }
    found = strap_pulls(replace(over, **stop), [FORWARD])
    assert (found.held.tolist(), found.pushes.tolist()) == ([False], [[0.0]])


@pytest.mark.parametrize("axis", [0, 1])
def test_in_a_bump_no_wheel_rubs_though_straps_press_it_down(axis: int) -> None:
    # All four pull ahead, or all to the left: nothing holds the load back, not even half of what presses on the wheels.
    load = four_straps(friction=0.5, hand_tension=5000.0)
    away = load.rings - load.tie_points
    away[:, axis] = np.abs(away[:, axis])
    askew = replace(load, rings=load.tie_points + away)
    small = case("upward", (0, 0, 0.05), gravity=False)
    assert strap_pulls(load, [small]).held.tolist() == [True]
    assert strap_pulls(askew, [small]).held.tolist() == [False]
