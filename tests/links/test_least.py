"""The least strength of an anchor: against a fine grid of directions, and where the answer is known by hand."""

from __future__ import annotations

from math import cos, radians, sin, sqrt
from typing import Any

import numpy as np
import pytest

from anchorcalc.catalog.tables import Catalog
from anchorcalc.links.least import _RIM, _SHARES, STEEPEST, _at_rim, _direction, _Search, least_strength
from anchorcalc.links.path import Strengths
from anchorcalc.resources import data_folder
from anchorcalc.result.strength import AnchorStrength, Link
from anchorcalc.verdict.check import check_rig
from anchorcalc.verdict.least import with_least
from tests.conftest import edited, rig_of, roadster, texts_of
from tests.links.setups import deck, setup

CATALOG = Catalog()


class Made:
    """Strengths of an anchor of which a newton uses the greatest of `uses` (n, 3), or `everywhere` alike [1/N].

    What breaks it is three times as strong, or by `breaking` uses of its own.
    """

    def __init__(
        self,
        uses: list[tuple[float, float, float]],
        everywhere: float = 0.0,
        breaking: list[tuple[float, float, float]] | None = None,
        key: str = "made",
    ) -> None:
        self.uses, self.everywhere, self.key = np.array(uses), everywhere, key
        self.breaking = self.uses / 3 if breaking is None else np.array(breaking)

    def along(self, anchor: Any, direction: np.ndarray) -> AnchorStrength:
        holds, breaks = (
            1.0 / max(least, *(uses @ direction))
            for uses, least in ((self.uses, self.everywhere), (self.breaking, self.everywhere / 3))
        )
        link = Link(self.key, "made", breaks, holds, "", "", "")
        return AnchorStrength("made", "made", tuple(direction.tolist()), (link,))


def test_a_link_that_grows_in_proportion_is_weakest_along_its_own_way() -> None:
    # Use (0.3, -0.4, 1.2) per 1000 N: its length is 1.3, so 1000 / 1.3 = 769.23 N along (3, -4, 12) / 13,
    # 22.6 degrees from upright.
    found = least_strength(None, Made([(0.3e-3, -0.4e-3, 1.2e-3)]))  # type: ignore[arg-type]
    assert 0.99 * 769.2308 <= found.working.strength <= 769.2309
    assert np.dot(found.working.direction, (3 / 13, -4 / 13, 12 / 13)) >= cos(radians(6))
    assert found.breaking.strength == pytest.approx(3 * found.working.strength)


def test_a_link_that_is_weakest_beyond_sixty_degrees_is_asked_at_sixty() -> None:
    # Use (1, 0, 0) per 1000 N: along the deck 1000 N, but at 60 degrees from upright 1000 / sin 60 = 1154.7 N.
    found = least_strength(None, Made([(1e-3, 0.0, 0.0)], everywhere=1e-4))  # type: ignore[arg-type]
    assert 0.99 * 1154.7005 <= found.working.strength <= 1154.7006
    assert found.working.direction[2] == pytest.approx(0.5, abs=0.02)


def test_the_least_by_angle_is_never_above_what_the_anchor_holds_there() -> None:
    # Use (1, 0, 0) per 1000 N: at t from upright the worst way round the compass uses sin t, at nil the 0.1 everywhere.
    found = least_strength(None, Made([(1e-3, 0.0, 0.0)], everywhere=1e-4))  # type: ignore[arg-type]
    angles, daily = np.array(found.by_angle).T
    assert np.degrees(angles) == pytest.approx(np.arange(0, 61, 5))
    true = 1 / np.maximum(1e-4, 1e-3 * np.sin(angles))
    assert np.all(daily <= true)
    assert daily[0] >= 0.99 * 10_000.0
    assert daily[-1] >= 0.99 * 1154.7005


def test_two_links_the_weaker_way_counts() -> None:
    found = least_strength(None, Made([(0.0, 0.0, 1e-3), (0.9e-3, 0.9e-3, 0.6e-3)]))  # type: ignore[arg-type]
    steep = 1000 / sqrt(0.9**2 + 0.9**2 + 0.6**2)  # 64.8 degrees from upright: beyond what is asked
    at_sixty = 1000 / (sqrt(2) * 0.9 * sin(radians(60)) + 0.6 * cos(radians(60)))
    assert steep < at_sixty
    assert 0.99 * at_sixty <= found.working.strength <= at_sixty * (1 + 1e-9)


def test_an_anchor_alike_in_every_way_is_told_a_little_weaker_never_stronger() -> None:
    found = least_strength(None, Made([(0.0, 0.0, 0.0)], everywhere=1e-3))  # type: ignore[arg-type]
    assert 930 <= found.working.strength <= 1000 * (1 + 1e-12)


def test_a_straight_use_is_told_as_it_is_less_what_may_lie_between_two_places() -> None:
    # Use (-0.4, 0, 1) per 1000 N, straight all over what is asked: t from upright 0.4 sin t + cos t is most, told by
    # 1 / cos 3° more. Greatest 21.8° rearward, which is found at once: upright, one at 60°, five round, and there.
    found = least_strength(None, Made([(-0.4e-3, 0.0, 1e-3)]))  # type: ignore[arg-type]
    angles, daily = np.array(found.by_angle).T
    assert daily == pytest.approx(1000 * cos(radians(3)) / (0.4 * np.sin(angles) + np.cos(angles)), rel=1e-6)
    looked_at = [direction for direction, _, _ in found.looked_at]
    assert len(looked_at) == 8
    assert looked_at[0] == (0.0, 0.0, 1.0)
    assert looked_at[1] == pytest.approx((sin(radians(60)), 0.0, 0.5))


def test_each_level_is_looked_for_by_itself() -> None:
    # What breaks it grows ahead, what may be asked daily to the right and most: each found in its own direction.
    made = Made([(0.0, -0.4e-3, 1e-3)], breaking=[(0.12e-3, 0.0, 0.3e-3)])
    found = least_strength(None, made)  # type: ignore[arg-type]
    for told, (x, y, z) in ((found.breaking, (0.12, 0.0, 0.3)), (found.working, (0.0, -0.4, 1.0))):
        size = sqrt(x * x + y * y + z * z)
        assert np.dot(told.direction, (x / size, y / size, z / size)) >= cos(radians(3.5))
        assert 0.99 * 1000 / size <= told.strength <= 1000 / size * (1 + 1e-9)
    assert len(found.looked_at) == 9


def test_a_ring_alone_counts_by_the_worse_of_its_ends() -> None:
    # 1000 N straight up, 2000 at 60° from it; three times that it breaks.
    found = least_strength(None, Made([(0.0, 0.0, 1e-3)], key="ring"))  # type: ignore[arg-type]
    assert (found.breaking.strength, found.working.strength) == pytest.approx((3000, 1000))
    assert [daily for _, daily in found.by_angle] == pytest.approx([1000] * 13)


def test_a_triangle_of_directions_beyond_what_is_asked_bounds_nothing() -> None:
    search = _Search(None, Made([(0.0, 0.0, 1e-3)]))  # type: ignore[arg-type]
    found = search._triangle(*(search._corner(_direction(80.0, azimuth)) for azimuth in (0.0, 5.0, 10.0)))
    assert found.bound.tolist() == [0.0, 0.0]


def test_places_where_a_bound_is_looked_for() -> None:
    # Twelfths of a triangle's sides: 13 + 12 + … + 1 = 91; on the rim of what is asked one every five degrees.
    assert len({tuple(each) for each in _SHARES.tolist()}) == 91
    assert set(_SHARES.sum(axis=1)) == {12.0}
    assert _SHARES.min() == 0.0
    assert np.degrees(np.arctan2(_RIM[:, 1], _RIM[:, 0])) % 360 == pytest.approx(np.arange(0, 360, 5), abs=1e-9)
    assert _RIM[:, 2] == pytest.approx(0.5)


def shipped(name: str, anchor: str, mounting: str | None = None, **ring: str) -> tuple[Any, Any]:
    texts = texts_of(data_folder("scenarios") / f"{name}.yaml")
    if mounting is not None:
        texts = edited(texts, "anchors", anchor, "mounting", value=mounting)
    texts["mountings"][texts["anchors"][anchor]["mounting"]]["ring"] |= ring
    rig = rig_of(texts, CATALOG)
    return rig.anchors[anchor], Strengths(rig.basis)


@pytest.mark.parametrize(
    ("name", "anchor", "mounting", "ring"),
    [
        ("roadster", "front left", "plated", {}),
        ("roadster", "rear right", "four screws", {}),
        ("roadster", "front left", "plated", {"rated": "280 lbf", "rated_flat": "120 lbf"}),
        ("utility-cart-angle", "front left", None, {}),
    ],
)
def test_the_least_is_below_a_fine_grid_and_within_one_per_cent_of_it(
    name: str, anchor: str, mounting: str | None, ring: dict[str, str]
) -> None:
    setting, strengths = shipped(name, anchor, mounting, **ring)
    found = least_strength(setting, strengths)
    grid = [(0.0, 0.0), *((angle, turn) for angle in np.arange(15, 61, 15) for turn in np.arange(0, 360, 30))]
    assert grid[-1][0] == STEEPEST
    held = [strengths.along(setting, np.array([sin(a) * cos(t), sin(a) * sin(t), cos(a)])) for a, t in np.radians(grid)]
    for level in ("breaking", "working"):
        least = min(getattr(each, level) for each in held)
        told = getattr(found, level).strength
        assert told <= least * (1 + 1e-9), level
        # A grid is no finer than itself: what it finds least may lie a little above the least there is.
        assert told >= 0.985 * least, level
    assert len(found.looked_at) <= 25


def test_a_mirrored_anchor_is_the_mirror_image_and_yardsticks_go_by_the_daily_strength() -> None:
    rig = rig_of(roadster(), CATALOG)
    result = with_least(check_rig(rig), rig, CATALOG)
    left, right = (
        next(each.least for each in result.anchors if each.anchor == f"front {side}") for side in ("left", "right")
    )
    assert left is not None
    assert right is not None
    assert right.working.strength == left.working.strength
    assert right.working.direction == (left.working.direction[0], -left.working.direction[1], left.working.direction[2])
    alone = least_strength(rig.anchors["front right"], Strengths(rig.basis))
    assert alone.working.strength == pytest.approx(right.working.strength, rel=0.01)
    for each in left.yardsticks:
        assert each.met == (left.working.strength >= each.per_point)
    # 7 000 lb gross and 1 650 lb of car: the trailers of 0.75 to 3.5 t, and the lightest class of loads.
    names = [each.name for each in left.yardsticks]
    assert "EN 12640, trailers of 0.75 to 3.5 t" in names
    assert "EN 12640, trailers below 0.75 t" not in names
    assert "MIL-STD-209K, loads to 3000 lb" in names
    assert "MIL-STD-209K, loads above 10000 lb" not in names


def test_by_itself_no_other_ring_lifts_its_member() -> None:
    """Two welded rings on one cross-member: the other's pull halves what it bears, and has no part in what each is."""
    backing = {"kind": "frame", "weld": "1/4 in", "length": "12 in"}
    welded = {"ring": {"rated": "9000 lbf", "base": ["4 in", "4 in"], "pull_height": "0.5 in"}, "backing": backing}
    found = []
    for places in ([(72.0, 6.0)], [(72.0, 6.0), (72.0, -6.0)]):
        rig = rig_of(setup(deck(), welded, *places), CATALOG)
        result = with_least(check_rig(rig), rig, CATALOG, only="ring 1")
        found.append(
            (
                result.anchors[0].least,
                next(link.breaking for link in result.anchors[0].links if link.key == "under_ring"),
            )
        )
    (alone, held_alone), (beside, held_beside) = found
    assert held_beside < 0.7 * held_alone
    assert alone is not None
    assert beside is not None
    assert beside.working.strength == pytest.approx(alone.working.strength, rel=1e-9)


def test_figures_of_the_yardsticks() -> None:
    rows = CATALOG.yardsticks
    assert rows["EN 12640, trailers of 0.75 to 3.5 t"].per_point == 6000.0  # tested at 7.5 kN
    assert rows["EN 12640, trailers below 0.75 t"].per_point == 4000.0
    assert rows["DIN 75410-1, vehicles to 3.5 t"].per_point == 4000.0
    assert rows["MIL-STD-209K, loads to 3000 lb"].per_point == pytest.approx(2500 * 4.4482216)
    assert rows["Truck Loading Code, car carriers"].per_point == pytest.approx(2000 * 9.8, rel=1e-3)


def test_where_the_way_from_one_direction_to_another_crosses_the_rim() -> None:
    rng, top = np.random.default_rng(5), cos(radians(STEEPEST))
    crossed = []
    for one, other in rng.normal(size=(200, 2, 3)):
        one, other = ((x, y, abs(z)) / np.linalg.norm((x, y, z)) for x, y, z in (one, other))  # both upward
        found = _at_rim(one, other)
        assert found[:, 2] == pytest.approx(top)
        shares = found @ np.linalg.pinv([one, other])  # on the way between the two, nowhere else
        assert shares @ [one, other] == pytest.approx(found)
        assert (shares >= -1e-9).all()
        inside = sum(each[2] > top for each in (one, other))
        assert len(found) == 1 if inside == 1 else len(found) in (0, 2) if inside == 0 else len(found) == 0
        crossed.append(len(found))
    assert set(crossed) == {0, 1, 2}
