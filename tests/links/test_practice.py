"""What everybody who fits rings to trailers knows, as common practice without a source, and what no change may undo."""

from __future__ import annotations

import copy
import itertools
from typing import Any

import pytest

from anchorcalc.links.modes import MODES, TURNS_OVER
from anchorcalc.links.plain_words import PLAIN_WORDS
from anchorcalc.result.strength import AnchorStrength
from tests.links.setups import (
    bolted,
    deck,
    inches,
    links,
    plate,
    plywood,
    pull_at,
    screws,
    strength,
    washers,
)

Texts = dict[str, Any]
CELLS = 1.04  # of the discretisation
MID = (64.0, 12.0)
OWN = {"withdrawal", "screw_slant", "screw_sideways", "crush", "pull_through", "punch_out", "panel_bending"}
"""What is a mounting's own and not shared with the others of its kind."""

LADDER = [
    screws("#14", "1 1/2 in", base_thickness="3/16 in"),
    bolted(washers("1 1/2 in", "1/16 in"), base_thickness="3/16 in"),
    bolted(washers("2 in", "1/16 in"), base_thickness="3/16 in"),
    bolted(plate(6, "3/16 in"), base_thickness="3/16 in"),
    bolted(plate(12, "1/4 in"), base_thickness="3/16 in"),
]
DECKS = [
    deck(),
    deck(plywood("23/32 in", "across"), plywood("23/32 in", "across"), hold=6),
    deck(plywood("1 1/8 in"), spacing=24.0, first=12.0, hold=4, screw="1/4 in self-drilling"),
    deck(plywood("5/8 in"), spacing=12.0, section="angle-2x2x3/16"),
]


def in_the_bay(on: Texts) -> tuple[float, float]:
    spacing, first = (float(on["cross_members"][key].split()[0]) for key in ("spacing", "first_at"))
    return first + 3.5 * spacing, 9.0


@pytest.mark.parametrize("size", ["1/4-20", "5/16-18", "3/8-16", "1/2-13"])
@pytest.mark.parametrize("thickness", ["1/16 in", "1/8 in"])
def test_no_washer_crushes_the_wood_later_than_a_plate(size: str, thickness: str) -> None:
    """Plates as they are fitted, 3/16 in: under thin bolts 4 d alone would leave them less than a large washer."""
    outside = "1 1/2 in" if size in ("1/4-20", "5/16-18") else "2 in"
    washer, steel = (
        links(deck(), bolted(backing, size, base_thickness="3/16 in"), MID, pull_at(40))["crush"].working
        for backing in (washers(outside, thickness), plate(6, "3/16 in"))
    )
    assert washer <= steel * 1.001


@pytest.mark.parametrize("on", DECKS, ids=range(len(DECKS)))
@pytest.mark.parametrize("degrees", [25, 45, 90])
@pytest.mark.parametrize("level", ["breaking", "working"])
def test_screws_then_washers_then_plates(on: Texts, degrees: float, level: str) -> None:
    found = [strength(on, mounting, in_the_bay(on), pull_at(degrees)) for mounting in LADDER]
    held = [each.weakest(level).at(level) for each in found]  # type: ignore[arg-type]
    for (weaker, stronger), (a, b) in zip(itertools.pairwise(held), itertools.pairwise(found), strict=True):
        assert weaker <= stronger * CELLS
        if a.weakest(level).key in OWN and b.weakest(level).key not in OWN:  # type: ignore[arg-type]
            assert weaker < stronger


@pytest.mark.parametrize("on", DECKS, ids=range(len(DECKS)))
@pytest.mark.parametrize("level", [0, 1])
def test_each_link_of_its_own_grows_up_the_ladder(on: Texts, level: int) -> None:
    """What lets go of a washer is less than of a larger one, of a plate less than of a larger one."""
    found = [links(on, mounting, in_the_bay(on), pull_at(40)) for mounting in LADDER]
    small, large, six, twelve = found[1:]
    for key in ("pull_through", "crush"):
        assert small[key][level] <= large[key][level] <= six[key][level] * CELLS
    assert small["punch_out"][level] < six["punch_out"][level] * CELLS
    assert small["panel_bending"][level] < six["panel_bending"][level] < twelve["panel_bending"][level]


@pytest.mark.parametrize("level", ["breaking", "working"])
@pytest.mark.parametrize("degrees", [25, 45])
def test_two_bolts_through_an_angle_hold_more_than_a_plate_between_members(level: str, degrees: float) -> None:
    """3/16 in angle, single 3/4 in deck; pulled away from the angle, so that the rear bolts carry."""
    on = deck(section="angle-2x2x3/16", hold=8)
    through = bolted(
        {"kind": "member", "through": "rear", "washer": {"outside": "1 1/2 in", "thickness": "1/8 in", "steel": "mild"}}
    )
    at_member, mid_bay = (72.0 + 1.625, 24.0), (64.0, 24.0)

    def held(found: AnchorStrength) -> float:
        # The member's own bending hangs on where the rails are, not on the mounting.
        return min(link.at(level) for link in found.links if link.key not in ("own_member", "member_beside"))  # type: ignore[arg-type]

    angle = held(strength(on, through, at_member, pull_at(degrees)))
    plated = held(strength(on, bolted(plate(6, "3/16 in")), mid_bay, pull_at(degrees)))
    assert angle > plated


@pytest.mark.parametrize("mounting", LADDER, ids=range(len(LADDER)))
@pytest.mark.parametrize("degrees", [20, 60, 90])
def test_more_hold_down_screws_hold_more(mounting: Texts, degrees: float) -> None:
    """First screw 4 in from the edge; every 8, every 4, every 2 in: each has all screws of the one before it."""
    held = [
        links(deck(hold=spacing, first_screw=4.0, screw="#8 self-drilling"), mounting, MID, pull_at(degrees))
        for spacing in (8.0, 4.0, 2.0)
    ]
    for few, many in itertools.pairwise(held):
        assert few["hold_down"].breaking < many["hold_down"].breaking
        assert few["hold_down"].working < many["hold_down"].working


@pytest.mark.parametrize("spacings", [(12.0, 8.0), (8.0, 6.0), (6.0, 4.0)])
def test_closer_screws_hold_more_where_nobody_says_where_they_begin(spacings: tuple[float, float]) -> None:
    wide, close = (links(deck(hold=s, first_screw=None), LADDER[3], MID)["hold_down"].breaking for s in spacings)
    assert wide < close


@pytest.mark.parametrize("degrees", [15, 50])
def test_a_thicker_deck_holds_more(degrees: float) -> None:
    held = [
        links(deck(plywood(t)), LADDER[1], MID, pull_at(degrees)) for t in ("1/2 in", "5/8 in", "3/4 in", "1 1/8 in")
    ]
    for thin, thick in itertools.pairwise(held):
        for key in ("panel_bending", "rolling_shear", "pull_through", "punch_out", "bolt_sideways", "hold_down"):
            assert thin[key].breaking <= thick[key].breaking * CELLS


@pytest.mark.parametrize("number", range(len(LADDER)))
@pytest.mark.parametrize("degrees", [20, 60])
def test_mirrored_left_and_right_and_front_and_rear(number: int, degrees: float) -> None:
    """Members at 8, 24 … 136 in of 144 in: the deck is its own mirror image."""
    on = deck(first_screw=4.0)
    here = links(on, LADDER[number], (60.0, 11.0), pull_at(degrees, way=25))
    across = links(on, LADDER[number], (60.0, -11.0), pull_at(degrees, way=-25))
    along = links(on, LADDER[number], (84.0, 11.0), pull_at(degrees, way=180 - 25))
    for key, link in here.items():
        for other in (across[key], along[key]):
            assert other.breaking == pytest.approx(link.breaking, rel=1e-6)
            assert other.working == pytest.approx(link.working, rel=1e-6)


def test_units_change_nothing() -> None:
    on, mounting = deck(), LADDER[1]

    def metric(part: Any) -> Any:
        if isinstance(part, dict):
            return {key: metric(value) if key != "size" else value for key, value in part.items()}
        if isinstance(part, list | tuple):
            return [metric(each) for each in part]
        if isinstance(part, str) and part.endswith(" in") and part != "3/4 in":
            whole, _, rest = part[:-3].partition(" ")
            value = sum(float(a) / float(b or 1) for a, _, b in (x.partition("/") for x in (whole, rest) if x))
            return f"{25.4 * value!r} mm"
        return part

    found = links(metric(copy.deepcopy(on)), metric(copy.deepcopy(mounting)), MID, pull_at(30))
    for key, link in links(on, mounting, MID, pull_at(30)).items():
        assert found[key].breaking == pytest.approx(link.breaking, rel=1e-6)
        assert found[key].working == pytest.approx(link.working, rel=1e-6)


@pytest.mark.parametrize("height", [0.25, 1.0, 3.0])
def test_a_thicker_base_spreads_a_pull_and_a_taller_ring_does_not(height: float) -> None:
    """Screws long enough to be bitten alike under each base."""
    held = [
        links(deck(), screws(length=inches(1.25 + base), height=height, base_thickness=inches(base)), MID, pull_at(45))
        for base in (0.1, 0.25, 0.5)
    ]
    for thin, thick in itertools.pairwise(held):
        assert thin["screw_steel"].breaking <= thick["screw_steel"].breaking * (1 + 1e-9)
    low, tall = (
        links(deck(), screws(height=h, base_thickness="1/4 in"), MID, pull_at(45))["screw_steel"].breaking
        for h in (height, 1.3 * height)
    )
    assert tall < low


def test_each_way_to_let_go_is_told_in_plain_words() -> None:
    assert set(PLAIN_WORDS) == {mode.key for mode in (*MODES, TURNS_OVER)}
    assert all(len(words) > 40 for words in PLAIN_WORDS.values())
