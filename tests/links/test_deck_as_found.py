"""A deck as it is found: screws rusted or gone, and joints that nobody told of."""

from __future__ import annotations

import re
from typing import Any

import numpy as np
import pytest

from anchorcalc.links.path import anchor_strength
from anchorcalc.verdict.check import check_rig
from anchorcalc.verdict.joints import can_be_parted, joints_to_look_for, windows_of
from tests.conftest import Texts, edited, roadster
from tests.links.setups import (
    CATALOG,
    LBF,
    UP,
    Held,
    bolted,
    deck,
    in_pounds,
    inches,
    links,
    plate,
    rig_of,
    screws,
    setup,
)

MOUNTING = screws(length="3 in", base_thickness="1 in")
AT = (64.0, 12.0)


def as_found(condition: str | None, hold: float = 8.0, first: float = 8.0) -> Texts:
    found = deck(hold=hold, first_screw=first)
    if condition is not None:
        found["hold_down"]["condition"] = condition
    return found


def held(condition: str | None, **more: Any) -> dict[str, Held]:
    return links(as_found(condition, **more), MOUNTING, AT)


def test_screws_that_nobody_looked_at_are_told_first() -> None:
    said = roadster()
    texts = roadster()
    del texts["deck"]["hold_down"]["condition"]
    unsaid, looked_at = (check_rig(rig_of(each)).not_checked for each in (texts, said))
    assert unsaid[0].startswith("whether hold-down screws are missing or rusted")
    assert unsaid[1:] == looked_at


def test_a_rusted_screw_counts_half() -> None:
    sound, rusted = held("sound"), held("rusted")
    for key in ("hold_down", "deck_slides"):
        assert rusted[key] == pytest.approx([each / 2 for each in sound[key]])
    assert rusted["panel_bending"] == sound["panel_bending"]
    assert sound == held(None)


def test_screws_of_a_plank_that_nobody_counted_are_told_as_assumed() -> None:
    planks = {"panel": "sawn-planks", "thickness": "1 1/2 in", "face_grain": "along", "condition": "sound"}
    counted, not_counted, sheets = (
        [each.value for each in rig_of(setup(deck(*layers), MOUNTING, AT)).assumed if "screws of a plank" in each.what]
        for layers in ([{**planks, "screws_per_crossing": "2"}], [planks], [])
    )
    assert (counted, not_counted, sheets) == ([], ["1"], [])


def test_a_screw_that_is_gone_is_the_worst_of_those_beside_the_ring() -> None:
    # The deck is 72 in wide, the ring 12 in off its middle: rows at 28, 20, 12, 4 … in, the one at 12 beside the ring.
    # Without that one its neighbours take over and hold a little more; without one of them the one beside takes more.
    # As much as in rows 16 in apart with one of them beside the ring is the most it can be.
    sound, missing, half = held("sound"), held("some missing"), held("sound", hold=16.0)
    assert half["hold_down"].breaking < missing["hold_down"].breaking < 0.98 * sound["hold_down"].breaking


def test_the_screw_that_is_gone_is_one_by_the_ring_not_by_the_middle_of_its_base() -> None:
    # A ring 16 in off the middle of a strip 38 in long across the trailer misses a screw beside itself: it loses about
    # what one in the middle loses, three tenths.
    at = {"points": [["0 in", f"{y} in"] for y in (-17, -9, 0, 9, 17)]}
    strip = screws(at=at, base=(5.0, 38.0), base_thickness="0.1 in", foot=["2 in", "2 in"], length="2 1/2 in")
    left = []
    for condition in ("sound", "some missing"):
        texts = setup(as_found(condition, hold=6.0, first=2.0), strip, (64.0, 16.0))
        texts["anchors"] = {
            "ring 1": {"at": texts["anchors"]["ring 1"]["at"], "on": "base"},
            "base": {"at": ["64 in", "0 in"], "mounting": "it"},
        }
        rig = rig_of(texts)
        found = anchor_strength(rig.anchors["ring 1"], np.array(UP), rig.basis)
        left.append(in_pounds(found.links)["hold_down"].breaking)
    assert left[1] / left[0] == pytest.approx(0.69, abs=0.06)


# --- joints -------------------------------------------------------------------------------------------------------


def told(texts: Texts) -> list[str]:
    rig = rig_of(texts)
    return list(joints_to_look_for(windows_of(rig), rig))


def test_what_to_look_for_first() -> None:
    """Members every 16 in from 8 in on: two behind the front rings at 172 in, 168 and 152, and one ahead."""
    texts = edited(roadster(), "deck", "layers", 1, "joints_across", value=["96 in"])
    front, rear, *wheels = told(texts)
    # Wheels at 141 and 51 in: between 136 and 152, and 40 and 56; two members more each way. Across all the deck.
    assert wheels[0] == (
        "sheet joints under the wheels front left, front right: one across at 136 in to 152 in from the rear leaves "
        "them nothing; for these figures none may cross 120 in to 168 in, nor run along at all; layer 1"
    )
    assert "rear left, rear right: one across at 40 in to 56 in " in wheels[1]
    assert len(wheels) == 2
    assert front == (
        "sheet joints by front left, front right: one across at 168 in to 184 in from the rear leaves them nothing; "
        "for these figures none may cross 152 in to 184 in, nor run along 1 in to 40 in from the middle; layer 1"
    )
    assert rear.startswith("sheet joints by rear left, rear right: one across at 8 in to 24 in from the rear leaves ")
    assert "none may cross 8 in to 40 in, " in rear
    assert front in check_rig(rig_of(texts)).not_checked
    both = edited(texts, "deck", "layers", 0, "sheets", value={"length": "96 in", "first": "96 in"})
    assert told(both) == []


@pytest.mark.parametrize(
    ("most", "banned", "can"),
    [
        (2.5, [], True),
        (2.5, [(2.0, 3.0)], True),  # 2, 4.5 and the rest
        (2.5, [(0.5, 3.0)], True),  # 0.5, 3, 5
        (2.5, [(0.4, 3.0)], False),  # from 0.4 no sheet reaches 3
        (2.5, [(0.5, 1.5), (1.5, 3.0)], True),  # a cut right between two
        (2.5, [(0.5, 1.6), (1.5, 3.1)], False),
        (1.25, [(1.0, 2.0), (3.0, 4.0), (4.5, 4.9)], True),  # 1, 2, 3, 4, 4.9
        (1.0, [(0.9, 1.95)], False),
        (6.0, [(0.0, 6.0)], True),  # of one piece
        (5.9, [(0.0, 6.0)], False),
    ],
)
def test_whether_sheets_can_be_laid_with_no_joint_where_it_counts(
    most: float, banned: list[tuple[float, float]], can: bool
) -> None:
    assert can_be_parted((0.0, 6.0), most, banned) is can


def test_a_deck_that_must_have_a_joint_by_its_rings_does_not_pass_until_it_is_told() -> None:
    """Plates over every member but the ends of a deck of 12 ft, 8 to 136 in: one sheet would have to be so long."""
    plated = bolted(plate(8.0, "1/4 in"), **{"base_thickness": "1/4 in"})
    places = [(24.0 + 16 * bay, 20.0) for bay in range(7)]
    texts = setup(deck(), plated, *places)
    (asked,) = (each for each in check_rig(rig_of(texts)).requirements if each.key == "sheets")
    assert (asked.verdict, asked.provided) == (
        "marginal", "sheets of at most 4.1 ft by 8.2 ft have a joint there however they are laid",
    )  # fmt: skip
    told_ = edited(texts, "deck", "layers", 0, "joints_along", value=["0 in"])
    assert not any(each.key == "sheets" for each in check_rig(rig_of(told_)).requirements)
    two = setup(deck(), plated, *places[::6])
    assert not any(each.key == "sheets" for each in check_rig(rig_of(two)).requirements)


def test_sheets_may_meet_on_a_member_under_a_wheel() -> None:
    texts = roadster()
    texts["load"]["wheels"]["front left"][0] = "136 in"
    under = [line for line in told(texts) if line.startswith("sheet joints under the wheels front")]
    assert sorted(re.search("one across at (.*) from", line).group(1) for line in under) == [  # type: ignore[union-attr]
        "120 in to 136 in", "136 in to 152 in",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("joint", "least"), [(135.0, 600.0), (136.0, 450.0), (138.0, 0.0), (141.0, 0.0), (150.0, 0.0), (153.0, 600.0)]
)
def test_a_joint_between_the_members_beside_a_wheel_leaves_it_nothing(joint: float, least: float) -> None:
    """Front wheels of the roadster at 141 in, members at 136 and 152; what they bear is some 900 lb with no joint."""
    texts = roadster()
    for layer in (0, 1):
        texts = edited(texts, "deck", "layers", layer, "joints_across", value=[inches(joint)])
    (borne,) = (each for each in check_rig(rig_of(texts)).requirements if each.key == "wheels")
    daily = borne.limit[0] / LBF
    assert daily > least if least else daily == 0.0
    assert (borne.verdict == "fail" and "a sheet joint" in borne.required) == (least == 0.0)


@pytest.mark.parametrize(("joint", "matters"), [(151.0, False), (152.0, False), (162.0, True), (184.5, False)])
def test_a_joint_there_changes_the_figures_and_one_elsewhere_does_not(joint: float, matters: bool) -> None:
    """Hold-down of a front ring of the roadster: over 168 to 184 in the layer counts for nothing at all."""

    def hold_down(texts: Texts) -> float:
        (anchor,) = (each for each in check_rig(rig_of(texts)).anchors if each.anchor == "front left")
        return next(link.working for link in anchor.links if link.key == "hold_down")

    joined = edited(roadster(), "deck", "layers", 0, "joints_across", value=[inches(joint)])
    assert (hold_down(joined) < hold_down(roadster())) == matters
    for layer, through in ((0, 168.5), (1, 183.5)):
        joined = edited(joined, "deck", "layers", layer, "joints_across", value=[inches(through)])
    assert hold_down(joined) == 0.0
    assert CATALOG.factor("rusted_screw") == 0.5
