"""What would help: nothing is said that is not so of the set-up at hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from anchorcalc.links.modes import MODES, advice
from anchorcalc.links.path import Strengths
from anchorcalc.resources import data_folder
from anchorcalc.verdict.forces import Forces
from anchorcalc.verdict.helps import alike_on_both_sides
from tests.conftest import Texts, checked, edited, rig_of, roadster, texts_of

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


GRAIN = "turn the face grain of all layers square to the cross-members"


def deck_that_gives(catalog: Catalog, grains: tuple[str, str], run: str = "across", panel: str = "") -> list[str]:
    """Advice where the deck itself is what breaks under rings of no limit."""
    texts = weak("9000 lbf", "2500 lb")
    for layer, grain in zip(texts["deck"]["layers"], grains, strict=True):
        layer["face_grain"] = grain
        if panel:
            layer.update(panel=panel, thickness="1 1/2 in", plank_width="5 1/2 in", screws_per_crossing="2")
    if run == "lengthwise":
        texts["deck"]["cross_members"] |= {"run": run, "beams": ["0 in", "64 in", "128 in", "192 in"]}
        del texts["deck"]["cross_members"]["rails"]
    rig = rig_of(texts, catalog)
    return [advice("panel_bending", anchor) for anchor in rig.anchors.values()]


@pytest.mark.parametrize("run", ["across", "lengthwise"])
@pytest.mark.parametrize("grains", [("along", "along"), ("along", "across"), ("across", "along"), ("across", "across")])
def test_grain_is_to_be_turned_only_where_a_layer_lies_the_weak_way(
    grains: tuple[str, str], run: str, catalog: Catalog
) -> None:
    weak_way = "across" if run == "across" else "along"
    assert {GRAIN in line for line in deck_that_gives(catalog, grains, run)} == {weak_way in grains}


def test_planks_are_not_turned_and_have_no_plies(catalog: Catalog) -> None:
    lines = deck_that_gives(catalog, ("along", "along"), panel="sawn-planks")
    assert not any("grain" in line for line in lines)
    planks = checked(texts_of(data_folder("scenarios") / "mower-planks.yaml"), catalog)
    names = {link.key: link.name for anchor in planks.anchors for link in anchor.links}
    assert names["rolling_shear"] == "planks shear"
    assert names["panel_bending"] == "planks break between the cross-members"
    whole = {link.key: link.name for anchor in checked(roadster(), catalog).anchors for link in anchor.links}
    assert whole["rolling_shear"] == "plies of the deck shear (rolling shear)"
    assert whole["panel_bending"] == "deck panel breaks between the cross-members"


def test_turning_all_layers_mostly_holds_more_and_turning_one_of_two_does_not(catalog: Catalog) -> None:
    """Why it says all, and mostly: 16 in and 32 in gain at every ring; 24 in lose at rings 4 in from a member."""

    def bends(spacing: str, *grains: str) -> list[float]:
        texts = edited(roadster(), "deck", "cross_members", "spacing", value=spacing)
        for layer, grain in zip(texts["deck"]["layers"], grains, strict=True):
            layer["face_grain"] = grain
        return [link.working for anchor in checked(texts, catalog).anchors for link in anchor.links
                if link.key == "panel_bending"]  # fmt: skip

    gained = [
        after > before
        for spacing in ("12 in", "16 in", "24 in", "32 in")
        for before, after in zip(bends(spacing, "across", "across"), bends(spacing, "along", "along"), strict=True)
    ]
    assert sum(gained) >= 0.8 * len(gained)
    one, none = bends("16 in", "along", "across"), bends("16 in", "across", "across")
    assert all(turned < as_it_is for turned, as_it_is in zip(one, none, strict=True))


@pytest.mark.parametrize("key", sorted({mode.key for mode in MODES}))
def test_no_advice_moves_an_anchor_nearer_to_a_cross_member(key: str, catalog: Catalog) -> None:
    """A ring moved from 12 in to 3 in off a member used 93 % where it had used 91 %: nearness alone is no help."""
    for name in ("roadster", "mower-planks"):
        rig = rig_of(texts_of(data_folder("scenarios") / f"{name}.yaml"), catalog)
        assert all("nearer to a cross-member" not in advice(key, anchor) for anchor in rig.anchors.values())


def test_what_crushes_is_named_by_what_lies_under_the_wood(catalog: Catalog) -> None:
    def crush(mounting: str) -> tuple[str, str]:
        texts = roadster()
        for anchor in texts["anchors"].values():
            anchor["mounting"] = mounting
        found = checked(texts, catalog)
        rig = rig_of(texts, catalog)
        link = next(link for link in found.anchors[0].links if link.key == "crush")
        return link.name, advice("crush", rig.anchors["front left"])

    assert crush("plated")[0] == "wood crushes under the plate"
    assert "washer" not in crush("plated")[1]
    assert crush("bolts and washers")[0] == "wood crushes under the nuts"
    assert "thicker plate" not in crush("bolts and washers")[1]


@pytest.mark.parametrize(
    ("bars", "told"),
    [
        ("1", "A thicker or wider bar, or two bars, would hold more."),
        ("2", "Thicker or wider bars would hold more."),
    ],
)
def test_no_second_bar_is_advised_where_there_are_two(bars: str, told: str, catalog: Catalog) -> None:
    texts = edited(roadster(), "mountings", "bridge bars", "backing", "bars", value=bars)
    for anchor in texts["anchors"].values():
        anchor["mounting"] = "bridge bars"
    assert {advice("bridge_bar", anchor) for anchor in rig_of(texts, catalog).anchors.values()} == {told}
