"""What a ring's base is taken to be, before anything is pulled: by hand, inches and pounds."""

from __future__ import annotations

import pytest

from anchorcalc.links.pull import _asked, _base, _foot
from anchorcalc.mechanics.base import BasePlate
from tests.links.setups import INCH, PSI, bolted, deck, plywood, rig_of, screws, setup, washers

GROUP_1 = {"panel": "structural-1-plywood", "thickness": "3/4 in", "face_grain": "along", "condition": "sound"}


def test_base_fasteners_and_the_wood_under_it() -> None:
    # A bed of a twentieth of E of the upper layer over the thickness of both; the heads of #14 screws, the nuts of 3/8.
    for mounting, stiffness, head in (
        (screws(length="2 1/2 in"), 1.75e6, 0.480),
        (bolted(washers("1 1/2 in", "1/8 in")), 1e7, 0.5339),
    ):
        rig = rig_of(setup(deck(plywood(), GROUP_1), {**mounting, "cut_out": ["2 in", "1 in"]}, (64.0, 12.0)))
        asked = _asked(rig.anchors["ring 1"], rig.basis)
        assert asked.stiffness == stiffness
        assert asked.head / INCH == pytest.approx(head, rel=1e-3)
        assert asked.bed == pytest.approx(0.05 * 1.5e6 * PSI / (1.5 * INCH), rel=1e-6)
        assert [each / INCH for each in asked.size] == pytest.approx([4.5, 4.5])
        assert asked.feet == ((0.0, 0.0),)
        assert asked.opening is not None
        assert [each / INCH for each in asked.opening[0]] == pytest.approx([2, 1])
        plate = _base(asked)._plate
        assert [each / INCH for each in (*plate.x, *plate.y)] == pytest.approx([-2.25, 2.25, -2.25, 2.25])
        assert plate.nu == 0.3


def test_a_foot_is_so_much_smaller_near_an_edge_and_never_nothing() -> None:
    # A plate of 200 by 100 mm, a foot of 50 mm: 10 mm from the edge 20 mm wide; at the edge 4, half of them on it.
    plate = BasePlate((-0.1, 0.1), (-0.05, 0.05), 0.006, 2e11, 0.3)
    for at, x, y in (
        ((0.0, 0.0), (-0.025, 0.025), (-0.025, 0.025)),
        ((0.09, 0.0), (0.08, 0.1), (-0.025, 0.025)),
        ((-0.09, 0.04), (-0.1, -0.08), (0.03, 0.05)),
        ((0.1, 0.0), (0.098, 0.1), (-0.025, 0.025)),
    ):
        found = _foot(plate, at, (0.05, 0.05))
        assert (found.x, found.y) == (pytest.approx(x), pytest.approx(y))
