"""The piece of deck round a place, laid out by hand: how much of it, its members, planks and screws. Inches.

Deck 72 in wide and 144 in long, members 2 in wide at 8, 24, 40 … 136 in unless said; an anchor of 6 × 4 in at 64, 12:
its members 8 in behind and ahead of it, its side edge 24 in off, the other 48 in.
"""

from __future__ import annotations

from typing import Any

import pytest

from anchorcalc.links.piece import Layout, Piece, Rows
from anchorcalc.mechanics.floor import Patch
from tests.links.setups import INCH, LBF, Texts, deck, inches, plank_layer, plywood, rig_of, screws, setup

Spans = tuple[tuple[float, float], tuple[float, float]]
COVERED: Spans = ((-3.0, 3.0), (-2.0, 2.0))
GROUP_1 = {"panel": "structural-1-plywood", "thickness": "3/4 in", "face_grain": "across", "condition": "sound"}
PLANKS = plank_layer()


def piece(
    on: Texts,
    at: tuple[float, float] = (64.0, 12.0),
    *,
    mirror: tuple[float, float] = (1.0, 1.0),
    covered: Spans = COVERED,
    hold: float = 8.0,
    ring: float = 0.0,
) -> Piece:
    rig = rig_of(setup(on, screws(), (64.0, 12.0)))
    (x0, x1), (y0, y1) = covered
    spans = (x0 * INCH, x1 * INCH), (y0 * INCH, y1 * INCH)
    place = at[0] * INCH, at[1] * INCH
    rows = Rows(hold * INCH, rig.floor.hold_down_first_at)
    return Piece(rig.floor, rig.basis, place, mirror, rig.floor.sound_layers, spans, rows, ring * INCH)


def room(of: Piece) -> list[float]:
    """From and to along and across [in]."""
    assert not of.why_not
    return [each / INCH for each in (*of.x, *of.y)]


def wells(*of: tuple[float, float, float, float]) -> Texts:
    """Openings from x, y to x, y."""
    return {
        "wheel_wells": [
            {"name": f"well {k}", "corner": [inches(x0), inches(y0)], "opposite": [inches(x1), inches(y1)]}
            for k, (x0, y0, x1, y1) in enumerate(of)
        ]
    }


# --- how much of the deck -----------------------------------------------------------------------------------------

SPARSE = deck(spacing=32.0, first=20.0)  # members at 20, 52, 84 and 116 in; 20 and 28 in of overhang
NARROWS = deck(width_front="48 in")  # half of it 36 in less an inch every foot


@pytest.mark.parametrize(
    ("on", "at", "mirror", "found"),
    [
        # Two members each way; 1 1/2 spans beyond the base across, no farther than the edge.
        (deck(), (64.0, 12.0), (1, 1), (-24, 24, -26, 24)),
        (deck(), (60.0, 12.0), (1, 1), (-20, 28, -26, 24)),
        (deck(), (60.0, -12.0), (-1, -1), (-28, 20, -26, 24)),
        # Stiffer across than along, .199 to .092: spread (.199 / .092)^¼ = 1.2127 wider.
        (deck(plywood(grain="across")), (64.0, 0.0), (1, 1), (-24, 24, -31.105, 31.105)),
        # With Structural 1: E I 1.5 · .199 + 1.65 · .202 = .6318 over 1.5 · .092 + 1.65 · .108 = .3162, to ¼ 1.1889.
        # A decayed sheet counts for nothing.
        (
            deck(plywood(grain="across"), GROUP_1, plywood("1 1/8 in", condition="decayed")),
            (64.0, 0.0), (1, 1), (-24, 24, -30.534, 30.534),
        ),
        # Overhangs: three members, and so far beyond what lifts there as that reaches beyond the last: 3 + 11, 3 + 7.
        (SPARSE, (124.0, 12.0), (1, 1), (-72, 14, -48, 24)),
        (SPARSE, (124.0, 12.0), (-1, 1), (-14, 72, -48, 24)),
        (SPARSE, (16.0, 12.0), (1, 1), (-10, 68, -48, 24)),
        # Where that is past the deck's end it ends there.
        (SPARSE, (135.0, 12.0), (1, 1), (-83, 9, -48, 24)),
        (SPARSE, (8.0, 12.0), (1, 1), (-8, 76, -48, 24)),
        # As wide as where it is narrowest, 88 in from the rear: 28.667 in; never narrower than the base.
        (NARROWS, (64.0, 12.0), (1, 1), (-24, 24, -26, 16.667)),
        (NARROWS, (60.0, 12.0), (-1, 1), (-28, 20, -26, 16.667)),
        (NARROWS, (64.0, 27.0), (1, 1), (-24, 24, -26, 2)),
    ],
)  # fmt: skip
def test_how_much_of_the_deck_is_taken_in(
    on: Texts, at: tuple[float, float], mirror: tuple[float, float], found: tuple[float, ...]
) -> None:
    taken = piece(on, at, mirror=mirror)
    assert room(taken) == pytest.approx(found, abs=1e-3)
    x, y = taken.place(*taken.local(70 * INCH, 20 * INCH))
    assert (x / INCH, y / INCH) == pytest.approx((70, 20))


# #12 screws 3/8 in from the sheet's edge and 1 1/2 · 0.216 in from that of a face 2 in wide: from 0.301 in short of its
# middle on a sheet is held, and may end.
@pytest.mark.parametrize(
    ("on", "x", "across", "parts"),
    [
        (deck(), 64.0, 71.65, True), (deck(), 64.0, 71.75, False),
        (deck(), 64.0, 56.35, True), (deck(), 64.0, 56.25, False),
        # On an overhang it has to reach the member after the next, and goes on to beyond the base.
        (SPARSE, 124.0, 84.35, True), (SPARSE, 124.0, 84.25, False), (SPARSE, 124.0, 126.9, True),
        (SPARSE, 124.0, 127.1, False),
        (SPARSE, 16.0, 51.65, True), (SPARSE, 16.0, 51.75, False), (SPARSE, 16.0, 13.1, True),
        (SPARSE, 16.0, 12.9, False),
    ],
)  # fmt: skip
def test_a_sheet_ends_at_its_joints(on: Texts, x: float, across: float, parts: bool) -> None:
    joined = {**on, "layers": [plywood(joints_across=[inches(across)])]}
    found = piece(joined, (x, 12.0))
    assert bool(found.why_not) == parts
    if not parts:
        whole, end = room(piece(on, (x, 12.0))), across - x
        ends = [end, whole[1]] if end < 0 else [whole[0], end]
        assert room(found) == pytest.approx([*ends, *whole[2:]], abs=1e-6)


def test_a_sheet_ends_at_its_joints_lengthwise_and_the_deck_at_an_opening() -> None:
    along = [room(piece(deck(plywood(joints_along=[inches(y)])))) for y in (14.0, 10.0, 20.0)]
    assert along == [
        pytest.approx([-24, 24, *ends], abs=1e-6) for ends in ((-26, 2), (-2, 24), (-26, 8))
    ]  # fmt: skip
    assert piece(deck(plywood(joints_along=["13.9 in"]))).why_not
    assert piece(deck(plywood(joints_along=["10.1 in"]))).why_not
    # Touching the base, beside it and a bay off; beyond what is taken in none counts.
    beside = piece(deck(**wells((62, 14, 66, 20), (70, -4, 90, 10), (88, 11, 99, 13), (10, 0, 40, 30))))
    assert room(beside) == pytest.approx([-24, 24, -2, 2], abs=1e-6)
    assert room(piece(deck(**wells((88, 14, 99, 20), (10, 4, 40, 10))))) == room(piece(deck()))
    # One that the base hangs over by a tenth of an inch leaves nothing.
    for cut in ((66.9, 11, 68, 13), (60, 11, 61.1, 13), (62, 13.9, 66, 20), (62, 0, 66, 10.1)):
        assert piece(deck(**wells(cut))).why_not


def test_an_opening_behind_or_ahead_of_an_anchor_ends_the_sheet_as_a_joint_there_does() -> None:
    for ends, well in ((74.0, (74, 11, 86, 13)), (54.0, (50, 13.9, 54, 20)), (74.0, (74, 0, 78, 10.1))):
        joined, opened = (piece(on) for on in (deck(plywood(joints_across=[inches(ends)])), deck(**wells(well))))
        assert room(opened) == room(joined)
        assert room(opened) != room(piece(deck()))
    # Beside its strip it ends the deck across and not along.
    assert room(piece(deck(**wells((74, 14, 86, 20))))) == pytest.approx([-24, 24, -26, 2], abs=1e-6)
    # Of members whose screws it leaves no room, none holds there; nor is the base over another sheet by a hair.
    for on in (
        deck(**wells((71.6, 11, 86, 13))),
        deck(**wells((50, 11, 56.4, 13))),
        deck(plywood(joints_across=["56.2 in"])),
    ):
        assert piece(on, covered=((-7.9, 3.0), (-2.0, 2.0))).why_not


def test_what_ends_right_at_the_edges_of_a_base_from_member_to_member() -> None:
    base = (-8.0, 8.0), (-2.0, 2.0)
    assert room(piece(deck(), covered=base)) == room(piece(deck()))
    joined = piece(deck(plywood(joints_across=["56 in", "72 in"])), covered=base)
    opened = piece(deck(**wells((50, 11, 56, 13), (72, 11, 80, 13))), covered=base)
    assert room(joined) == room(opened) == pytest.approx([-8, 8, -26, 24], abs=1e-6)


def test_a_single_member_and_planks_that_run_along_it() -> None:
    # At 45 in of 96, the anchor 8 in behind and ahead of it: what lifts reaches 11 in beyond it.
    single = deck(spacing=59.0, first=45.0, length="96 in")
    assert room(piece(single, (37.0, 12.0))) == pytest.approx([-14, 8, -48, 24], abs=1e-6)
    assert room(piece(single, (53.0, 12.0))) == pytest.approx([-8, 14, -48, 24], abs=1e-6)
    assert "do not span" in piece(deck({**PLANKS, "face_grain": "across"})).why_not


# --- what is laid there -------------------------------------------------------------------------------------------


def layouts(of: Piece) -> list[Layout]:
    return list(of.layouts(()))


def rows(of: Piece) -> list[list[float]]:
    """Where screws stand across, every way that is looked at; the same over every member [in]."""
    found = []
    for way in (way for layout in layouts(of) for way in layout.screws):
        lines = {x for x, _ in way}
        across = sorted({y for _, y in way}, reverse=True)
        assert len(way) == len(lines) * len(across)
        found.append([y / INCH for y in across])
    return found


def test_members_and_screws_of_a_sheet() -> None:
    (found,) = layouts(piece(deck()))
    assert [member.x / INCH for member in found.members] == pytest.approx([-24, -8, 8, 24])
    assert {(member.stiffness, round(member.face / INCH, 6)) for member in found.members} == {(8e8, 2.0)}
    assert found.screw_stiffness == 2e6
    (board,) = found.boards
    assert (board.thickness / INCH, board.whole) == (pytest.approx(0.75), False)
    # From 2 in inside the nearer edge, 22 in to the left of the anchor, every 8 in to where the piece ends, -26 in. The
    # first and last rows of screws stand 3/8 in inside the sheet that ends over their members.
    (way,) = found.screws
    assert sorted({x / INCH for x, _ in way}) == pytest.approx([-23.625, -8, 8, 23.625], abs=1e-6)
    assert rows(piece(deck())) == [pytest.approx([22, 14, 6, -2, -10, -18])]
    # On the last member in it the sheet may end 3/8 in beyond a screw 1 1/2 diameters inside the member's face.
    for ends, holds in ((87.75, True), (87.65, False)):
        (found,) = layouts(piece(deck(plywood(joints_across=[inches(ends)]))))
        assert (max(x / INCH for x, _ in found.screws[0]) > 8.1) == holds
    # Sheets that meet 0.3 in behind the middle of a member 2 in wide: 3/8 in beside that is 0.075 ahead of it.
    (found,) = layouts(piece(deck(plywood(joints_across=["55.7 in"]))))
    assert sorted({x / INCH for x, _ in found.screws[0]}) == pytest.approx([-7.925, 8, 23.625], abs=1e-6)


def test_where_the_sheet_goes_on_its_screws_stand_in_the_middle_of_a_narrow_member() -> None:
    """A face of 1 1/2 in less 1 1/2 diameters of 5/16 in on either side has no room for 3/8 in to a sheet's edge."""
    narrow = {"section": "tube-1.5x1.5x1/8", "screw": "5/16 in self-drilling"}
    (found,) = layouts(piece(deck(**narrow)))
    assert sorted({x / INCH for x, _ in found.screws[0]}) == pytest.approx([-24, -8, 8, 24], abs=1e-6)
    # A sheet that does end there, over the last member that is taken in or just beyond it, holds on to none.
    for ends in (88.0, 88.3):
        (found,) = layouts(piece(deck(plywood(joints_across=[inches(ends)]), **narrow)))
        assert sorted({x / INCH for x, _ in found.screws[0]}) == pytest.approx([-24, -8, 8], abs=1e-6)


def test_what_two_sheets_are_stiff_by() -> None:
    # Along E I 1.5 · .199 + 1.65 · .108 and across 1.5 · .092 + 1.65 · .202 Mpsi in⁴ a foot; ν 0.05; G 0.06 E.
    (found,) = layouts(piece(deck(plywood(), GROUP_1)))
    along, across = ((1.5e6 * a + 1.65e6 * b) / 12 for a, b in ((0.199, 0.108), (0.092, 0.202)))
    plane = 1 - 0.05**2 * across / along
    twist = 0.06 * (1.5e6 + 1.65e6) * 0.75**3 / 12
    told = [each / (LBF * INCH) for each in found.boards[0].rigidities]
    assert told == pytest.approx([along / plane, across / plane, 0.05 * across / plane, twist], rel=1e-3)
    assert found.boards[0].thickness / INCH == pytest.approx(1.5)
    # Across its grain a plank is a twentieth as stiff.
    board = layouts(piece(deck(PLANKS)))[0].boards[0]
    assert board.rigidities.D_y == pytest.approx(0.05 * board.rigidities.D_x)
    E = piece(deck(PLANKS)).layers[0].panel.E
    assert board.rigidities.D_x == pytest.approx(E * (1.5 * INCH) ** 3 / 12, rel=1e-3)


def test_what_loads_it_is_cut_to_the_deck_there_is() -> None:
    whole = piece(deck())
    for patch, left in (
        ((-30, -20, -28, -24), (-24, -20, -26, -24)),
        ((20, 30, 22, 26), (20, 24, 22, 24)),
        ((-3, 3, -2, 2), (-3, 3, -2, 2)),
    ):
        x0, x1, y0, y1 = (each * INCH for each in patch)
        found = whole.inside(Patch((x0, x1), (y0, y1)))
        assert [each / INCH for each in (*found.x, *found.y)] == pytest.approx(left)


@pytest.mark.parametrize(
    ("on", "y", "of_piece", "ways"),
    [
        # The last of 9 stands 4.1 in from the right edge: in the middle of the deck it may be the first there.
        (
            deck(first_screw=3.9), 0.0, {},
            [[24.1, 16.1, 8.1, 0.1, -7.9, -15.9, -23.9], [23.9, 15.9, 7.9, -0.1, -8.1, -16.1, -24.1]],
        ),
        (deck(width="40 in"), 0.0, {"hold": 40.0}, [[18], [-18]]),  # one alone
        (deck(), 3.9, {}, [[22.1, 14.1, 6.1, -1.9, -9.9, -17.9], [18.1, 10.1, 2.1, -5.9, -13.9, -21.9]]),
        (deck(), 4.1, {}, [[21.9, 13.9, 5.9, -2.1, -10.1, -18.1]]),
        (deck(first_screw=4.0), 0.0, {}, [[24, 16, 8, 0, -8, -16, -24]]),  # evenly: from either edge the same
        # Nobody gave the first: 3/8 in from the edge, as near as it counts; a row by the ring, the middle of two by it;
        # a whole spacing from the edge. The deck's edge is 23 in off, the ring 1 in beside the middle of its base.
        (
            deck(first_screw=None), 13.0, {"ring": 1.0},
            [
                [22.625, 14.625, 6.625, -1.375, -9.375, -17.375, -25.375],
                [21, 13, 5, -3, -11, -19], [17, 9, 1, -7, -15, -23], [15, 7, -1, -9, -17, -25],
            ],
        ),
        # As wide as the whole deck, 24 and 48 in: 3/8, 12 and 24 in from the edge, each to the other edge.
        (
            deck(first_screw=None, spacing=32.0, first=20.0), 12.0, {"hold": 24.0},
            [[23.625, -0.375, -24.375], [12, -12, -36], [0, -24]],
        ),
    ],
)  # fmt: skip
def test_where_rows_of_screws_stand(on: Texts, y: float, of_piece: Any, ways: list[list[float]]) -> None:
    assert rows(piece(on, (64.0, y), **of_piece)) == [pytest.approx(way, abs=1e-6) for way in ways]


@pytest.mark.parametrize("way", [1.0, -1.0])
def test_no_screw_stands_beyond_the_edge_of_a_deck_that_narrows(way: float) -> None:
    # 27 in off the middle, where half of it is 36 in less an inch every foot: 30 in over the member at 72, 28.7 in over
    # that at 88, 1.7 in from the anchor: not enough for the row 3/8 in inside the base's own edge at 2 in.
    narrows = deck(first_screw=None, width_front="48 in")
    found = layouts(piece(narrows, (64.0, 27.0), mirror=(way, 1.0)))
    over = {round(way * x / INCH) for x, y in found[0].screws[0] if y == pytest.approx(1.625 * INCH)}
    assert over == {-24, -8, 8}


def test_some_missing_is_each_of_the_three_rows_nearest_to_the_ring() -> None:
    missing = deck()
    missing["hold_down"]["condition"] = "some missing"
    whole = [22.0, 14.0, 6.0, -2.0, -10.0, -18.0]
    left = [whole, *([y for y in whole if y != gone] for gone in (6.0, -2.0, 14.0))]
    assert rows(piece(missing, ring=2.5)) == [pytest.approx(way) for way in left]
    # As near on either side: the right one first; of two rows both are tried.
    assert [len(way) for way in rows(piece(missing, ring=2.0))] == [6, 5, 5, 5]


def test_planks_lie_in_the_middle_and_on_a_joint() -> None:
    # 5 1/2 in wide, where nobody told: over -26 … 24 in about the anchor one in the middle, or two that meet there.
    found = layouts(piece(deck(PLANKS)))
    edges = [[tuple(each / INCH for each in board.y) for board in layout.boards] for layout in found]
    assert edges[0] == [pytest.approx((max(a, -26), min(a + 5.5, 24))) for a in (2.75 + 5.5 * k for k in range(-6, 4))]
    assert edges[1] == [pytest.approx((max(a, -26), min(a + 5.5, 24))) for a in (5.5 * k for k in range(-5, 5))]
    assert all(board.whole for layout in found for board in layout.boards)
    (across,) = {tuple(sorted(y / INCH for x, y in layout.screws[0] if x == -8 * INCH)) for layout in found[:1]}
    assert across[:4] == pytest.approx([-25.625, -25.125, -24.375, -19.625])
    wide = layouts(piece(deck({**PLANKS, "plank_width": "10 in", "screws_per_crossing": "3"})))
    across = tuple(sorted(y / INCH for x, y in wide[0].screws[0] if x == -8 * INCH))
    assert across[-6:] == pytest.approx([5.375, 10, 14.625, 15.375, 19.5, 23.625])


@pytest.mark.parametrize(
    ("left", "screws"),
    [(23.5, (22.375, 23.125)), (23.15, (22.375, 22.775)), (23.1, (22.55,)), (22.8, (22.4,)), (22.7, ())],
)
def test_a_narrow_rest_of_a_plank_holds_by_one_screw_or_none(left: float, screws: tuple[float, ...]) -> None:
    # From 22 in on a plank is cut at the deck's edge: two screws 3/8 in inside want 9/8 in, one in its middle 3/4.
    found = layouts(piece(deck(PLANKS), (64.0, 36 - left)))[1]
    assert sorted(y / INCH for x, y in found.screws[0] if x == -8 * INCH and y > 22 * INCH) == pytest.approx(screws)
    one = layouts(piece(deck({**PLANKS, "screws_per_crossing": "1"}), (64.0, 36 - left)))[1]
    middles = sorted(y / INCH for x, y in one.screws[0] if x == -8 * INCH)[:2]
    assert middles == pytest.approx([-24.0, -19.25])
