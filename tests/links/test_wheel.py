"""The deck under a wheel, by hand: how joints part its print, and what each part bears. Inches and pounds."""

from __future__ import annotations

import pytest

from anchorcalc.links.piece import Piece, Rows, floor_answers, parted
from anchorcalc.links.wheel import _NO_WIDTH, UnderWheel, _least, _part_bears, _print, deck_under_wheel
from anchorcalc.mechanics.floor import Patch
from tests.links.setups import INCH, LBF, Texts, deck, plywood, rig_of, screws, setup

C_D = 1.6
# 3/4 in plywood, an inch wide: F_b 1200 psi times 1.6 on S .455 and .306 in³ a foot; 5000 psi less 1.645 · 16 %
# on t² / 6 along, across by the ratio of S.
DAILY, BREAKS = (1920 * 0.455 / 12, 1920 * 0.306 / 12), (345.4, 345.4 * 0.306 / 0.455)


def test_joints_part_the_print() -> None:
    assert parted((-3.0, 3.0), {0.5, -1.0, 4.0}, _NO_WIDTH) == [(-3.0, -1.0), (-1.0, 0.5), (0.5, 3.0)]
    # What of it lies within a millimetre of its edge does not count.
    assert parted((-0.05, 0.05), {0.0495, -0.0485}, _NO_WIDTH) == [(-0.05, -0.0485), (-0.0485, 0.05)]


def test_it_bends_along_or_across() -> None:
    assert _least(10.0, 2.0, 6.0, 3.0) == 2.0
    assert _least(10.0, 5.0, 12.0, 3.0) == 2.0
    assert _least(10.0, 2.0, 6.0, 0.0) == 5.0
    assert _least(10.0, 1.0, 3.0, 0.5) == 6.0


@pytest.mark.parametrize(
    ("on", "planks"),
    [
        (deck(), False),
        (
            deck(
                {
                    "panel": "sawn-planks",
                    "thickness": "3/4 in",
                    "face_grain": "along",
                    "condition": "sound",
                    "screws_per_crossing": "2",
                }
            ),
            True,
        ),
    ],
)
def test_what_bends_it_is_the_floors_own_and_what_it_stands_by_hand(on: Texts, planks: bool) -> None:
    # A print of 4 by 6 in pushed down between the members at 56 and 72 in.
    rig = rig_of(setup(on, screws(), (64.0, 12.0)))
    at, half = (64 * INCH, 12 * INCH), ((-2 * INCH, 2 * INCH), (-3 * INCH, 3 * INCH))
    piece = Piece(
        rig.floor, rig.basis, at, (1.0, 1.0), rig.floor.sound_layers, half, Rows(8 * INCH, rig.floor.hold_down_first_at)
    )
    ways = [way for layout in piece.layouts((Patch(*half),)) for way in floor_answers(layout, (-1.0,))]
    along, across = (max(each) for each in zip(*(way.greatest_moments for way in ways), strict=True))
    found = deck_under_wheel(rig.floor, at, rig.load.tyre_print, rig.basis)
    if planks:  # nothing to break between them: F_b · 1.6 on 3/4² / 6 in³, whatever bends a plank across
        layer = rig.floor.layers[0]
        daily = layer.panel.F_b * C_D * (0.75 * INCH) ** 2 / 6
        assert found.working == pytest.approx(daily / along, rel=1e-3)
        return
    assert found.working / LBF == pytest.approx(min(DAILY[0] / along, DAILY[1] / across), rel=1e-3)
    assert found.breaking / LBF == pytest.approx(min(BREAKS[0] / along, BREAKS[1] / across), rel=1e-3)


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_each_part_of_a_print_is_borne_by_its_own_sheet(side: float) -> None:
    # Sheets that meet over the member at 72 in, and 11 in off the middle: of a print of 4 by 6 in about 73, 12 in
    # 3 and 1 in lie on either sheet along, 2 and 4 across: 2, 4, 6 and 12 of 24 in².
    on = deck(plywood(joints_across=["72 in"], joints_along=[f"{11 * side!r} in"]))
    rig = rig_of(setup(on, screws(), (64.0, 12.0)))
    at = 73 * INCH, 12 * side * INCH
    parts = [
        _part_bears(rig.floor, at, rig.basis, ((a * INCH, b * INCH), (c * INCH, d * INCH)), area / 24)
        for a, b in ((-2, 1), (1, 2))
        for c, d in ((-3, -1), (-1, 3))
        for area in [(b - a) * (d - c)]
    ]
    found = deck_under_wheel(rig.floor, at, rig.load.tyre_print, rig.basis)
    assert found.working == pytest.approx(min(each.working for each in parts), rel=1e-9)
    assert found.breaking == pytest.approx(min(each.breaking for each in parts), rel=1e-9)
    assert found.working > 0


def test_wheels_within_a_bay_press_on_the_same_boards() -> None:
    rig = rig_of(setup(deck(), screws(), (64.0, 12.0)))

    def bears(*others: tuple[float, float]) -> UnderWheel:
        places = [(x * INCH, y * INCH) for x, y in others]
        return deck_under_wheel(rig.floor, (64 * INCH, 12 * INCH), rig.load.tyre_print, rig.basis, places)

    # Two in one place bear half of it each; what stands more than a bay and a half off takes nothing.
    alone = bears()
    assert bears((64.0, 12.0)).working == pytest.approx(alone.working / 2, rel=1e-9)
    assert bears((64.0, 12.0)).breaking == pytest.approx(alone.breaking / 2, rel=1e-9)
    assert bears((64.0, 36.1), (88.1, 12.0)) == alone
    # Of two 7 in apart, as of two in the middles of bays, each has the moment that both prints make there together:
    # in pounds, F_b S and what breaks it over that.
    half = ((-2 * INCH, 2 * INCH), (-3 * INCH, 3 * INCH))
    rows = Rows(8 * INCH, rig.floor.hold_down_first_at)
    piece = Piece(rig.floor, rig.basis, (64 * INCH, 12 * INCH), (1.0, 1.0), rig.floor.sound_layers, half, rows)
    for x, y in ((0.0, 7.0), (16.0, 0.0)):
        other = ((x - 2) * INCH, (x + 2) * INCH), ((y - 3) * INCH, (y + 3) * INCH)
        loads = Patch(*half), Patch(*other, examined=False)
        ways = [way for layout in piece.layouts(loads) for way in floor_answers(layout, (-1.0, -1.0))]
        along, across = (max(each) for each in zip(*(way.greatest_moments for way in ways), strict=True))
        found = bears((64.0 + x, 12.0 + y))
        assert found.working / LBF == pytest.approx(min(DAILY[0] / along, DAILY[1] / across), rel=1e-3)
        assert found.breaking / LBF == pytest.approx(min(BREAKS[0] / along, BREAKS[1] / across), rel=1e-3)
        assert found.working < 0.9 * alone.working
    # What relieves it is not counted.
    assert bears((86.0, 12.0)).working == pytest.approx(alone.working, rel=1e-3)


@pytest.mark.parametrize("side", [1.0, -1.0])
def test_a_wheel_beyond_a_joint_presses_on_another_sheet(side: float) -> None:
    # The joint lies 4 in off the wheel: of a print 7 in off it, from 4 to 10 in, nothing lies on the wheel's sheet; of
    # one 6 in off it a sixth lies there, and of one right over the joint, 4 in off it, half.
    rig = rig_of(setup(deck(plywood(joints_along=[f"{16 * side!r} in"])), screws(), (64.0, 12.0)))
    covered, footprint = ((-2 * INCH, 2 * INCH), (-3 * INCH, 3 * INCH)), (4 * INCH, 6 * INCH)

    def bears(off: float) -> float:
        at = 64 * INCH, 12 * side * INCH
        return _part_bears(rig.floor, at, rig.basis, covered, 1.0, [_print((0.0, off * INCH), footprint)]).working

    alone = _part_bears(rig.floor, (64 * INCH, 12 * side * INCH), rig.basis, covered, 1.0).working
    assert bears(7.0) == pytest.approx(alone, rel=1e-9)
    assert alone > 1.02 * bears(6.0) > 1.02 * bears(4.0) > alone / 2
    found = deck_under_wheel(
        rig.floor, (64 * INCH, 12 * side * INCH), rig.load.tyre_print, rig.basis, [(64 * INCH, 19 * side * INCH)]
    )
    assert found.working == pytest.approx(alone, rel=1e-6)


def test_a_narrower_tyre_presses_harder_and_what_is_taken_is_told() -> None:
    """Over a print of 4 by 6 in the strip that bends is 6 in and a thickness each side wide, of 4 by 3 in 4 1/2 in."""
    texts = setup(deck(), screws(), (64.0, 12.0))
    borne = []
    for print_ in (None, ["4 in", "6 in"], ["4 in", "3 in"]):
        if print_ is not None:
            texts["load"]["tyre_print"] = print_
        rig = rig_of(texts)
        assert any(each.what == "print of each tyre on the deck" for each in rig.assumed) == (print_ is None)
        borne.append(deck_under_wheel(rig.floor, (64 * INCH, 12 * INCH), rig.load.tyre_print, rig.basis).working)
    assert borne[0] == borne[1]
    assert 0.6 < borne[2] / borne[1] < 0.95
