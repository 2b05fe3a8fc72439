"""What would help: nothing is said that is not so of the set-up at hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from anchorcalc.links.path import Strengths
from anchorcalc.verdict.forces import Forces
from anchorcalc.verdict.helps import alike_on_both_sides
from tests.conftest import Texts, checked, edited, rig_of, roadster

if TYPE_CHECKING:
    from anchorcalc.catalog.tables import Catalog

HAND = "Hand tension alone"
TURNING = "only stops the load from turning"


def pulled_by_hand(texts: Texts, tension: str) -> Texts:
    for strap in texts["straps"].values():
        strap["hand_tension"] = tension
    return texts


def weak(rated: str, weight: str = "3300 lb") -> Texts:
    """The roadster made heavy, on rings that hold little."""
    texts = edited(roadster(), "load", "weight", value=weight)
    return edited(texts, "mountings", "plated", "ring", "rated", value=rated)


def said(texts: Texts, catalog: Catalog, words: str) -> list[str]:
    return [line for line in checked(texts, catalog).helps if words in line]


@pytest.mark.parametrize("tension", [20, 100, 150, 200, 300, 340, 380, 400, 450, 500, 700, 1000])
@pytest.mark.parametrize("weight", ["800 lb", "1650 lb", "3300 lb"])
def test_less_hand_tension_is_advised_only_where_it_is_too_much_and_less_asks_less(
    tension: int, weight: str, catalog: Catalog
) -> None:
    """Rings of 450 lbf with one strap each: 0.8 × 450 = 360 lbf is what passes daily."""
    texts = pulled_by_hand(weak("450 lbf", weight), f"{tension} lbf")
    result, looser = (checked(pulled_by_hand(texts, f"{pull} lbf"), catalog) for pull in (tension, tension / 2))
    use, less = (max(case.utilisation for case in each.cases) for each in (result, looser))
    advised = [line for line in result.helps if HAND in line]
    assert bool(advised) == (tension > 360 and use > 0.8 and less < 0.99 * use)


def test_where_the_wheels_lift_anyway_tightening_less_is_not_advised(catalog: Catalog) -> None:
    """Hand tension of 150 lbf is over 0.8 × 180 lbf, but a bump pulls as hard at half of it and at a tenth."""
    texts = weak("180 lbf", "6000 lb")
    bumps = [
        next(case for case in checked(pulled_by_hand(texts, pull), catalog).cases if case.case == "upward")
        for pull in ("150 lbf", "75 lbf", "15 lbf")
    ]
    assert [case.verdict for case in bumps] == ["fail"] * 3
    assert bumps[1].utilisation == pytest.approx(bumps[0].utilisation, rel=1e-6)
    assert bumps[2].utilisation == pytest.approx(bumps[0].utilisation, rel=1e-6)
    assert not said(pulled_by_hand(texts, "150 lbf"), catalog, HAND)


def test_hand_tensions_of_all_straps_on_a_ring_count_together(catalog: Catalog) -> None:
    """Two straps of 210 lbf on a ring that passes 360 lbf: each alone would, both together do not."""
    texts = pulled_by_hand(weak("450 lbf", "1650 lb"), "210 lbf")
    assert not said(texts, catalog, HAND)
    texts["straps"]["beside"] = {**texts["straps"]["rear left"]}
    assert said(texts, catalog, HAND) == [
        "Hand tension alone asks more than passes daily of rear left: tighten less, or take a stronger mounting."
    ]


def test_a_mirrored_set_up_is_not_told_to_be_mirrored(catalog: Catalog) -> None:
    texts = edited(weak("450 lbf"), "load", "centre_of_gravity", value=["66 in", "0 in", "18 in"])
    assert any(case.turning_share > 0.3 for case in checked(texts, catalog).cases if case.case == "upward")
    assert not said(texts, catalog, TURNING)
    assert not said(texts, catalog, "cross them")


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("anchors", "front left", "at"), ["172 in", "20 in"]),
        (("load", "tie_points", "front left", "at"), ["136 in", "10 in", "12 in"]),
        (("load", "centre_of_gravity"), ["96 in", "3 in", "18 in"]),
        (("straps", "front left", "hand_tension"), "100 lbf"),
        (("straps", "front left", "rated"), "2000 lbf"),
    ],
)
def test_straps_that_differ_in_anything_are_not_alike(path: tuple[str, ...], value: object, catalog: Catalog) -> None:
    def alike(texts: Texts) -> bool:
        rig = rig_of(texts, catalog)
        return alike_on_both_sides(Forces(rig, Strengths(rig.basis)).load)

    assert alike(roadster())
    assert not alike(edited(roadster(), *path, value=value))


def test_a_load_beside_the_middle_of_its_straps_is_told(catalog: Catalog) -> None:
    """Its weight 12 in to the left of the straps' middle: a bump tips it, and the two left straps hold nearly all."""
    texts = edited(weak("450 lbf"), "load", "centre_of_gravity", value=["96 in", "12 in", "18 in"])
    texts["load"]["steadying_friction"] = "0"
    assert len(said(texts, catalog, TURNING)) == 1
    assert not said(texts, catalog, "cross them")
