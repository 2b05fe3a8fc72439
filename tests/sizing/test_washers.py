"""Washers that are proposed find room where they lie."""

from __future__ import annotations

import pytest

from anchorcalc.sizing.usual import largest_washer, washer_under_member
from tests.links.setups import CATALOG, INCH, deck, rig_of, screws, setup

THREAD = CATALOG.threads["3/8-16"]


@pytest.mark.parametrize(
    ("section", "widest"),
    [
        ("channel-3x4.1", 1.41 - 2 * 0.17),  # flange less the web, and as much on the side where nobody says it is not
        ("angle-2x2x1/8", 2.0 - 2 * 0.125),
        ("tube-2x2x1/8", None),  # below both walls
    ],
)
def test_under_a_face_no_wider_than_lies_clear_of_the_web(section: str, widest: float | None) -> None:
    floor = rig_of(setup(deck(section=section), screws(), (64.0, 12.0))).floor
    washer, most = washer_under_member(THREAD, floor, CATALOG), largest_washer(THREAD, CATALOG)
    assert washer
    assert most
    if widest is None:
        assert washer == most
        return
    sold = sorted(row.outside / INCH for row in CATALOG.washers.values() if row.bolt == "3/8-16")
    assert washer.outside / INCH == max(each for each in sold if each <= widest + 1e-6) < most.outside / INCH
