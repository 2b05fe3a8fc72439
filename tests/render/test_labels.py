"""Words find free places, and columns of words the places nearest to what they tell of."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from anchorcalc.render.draw.labels import spread
from anchorcalc.render.draw.shapes import Board


def test_blocks_that_would_meet_stand_close_about_the_mean_of_what_they_want() -> None:
    # Worked by hand: 100 and 110 want to be, 40 high each; tops 85 and 125 are 15 off either way.
    assert spread([100.0, 110.0, 300.0], [40.0, 40.0, 40.0], 50.0) == pytest.approx([85.0, 125.0, 300.0])
    assert spread([60.0, 61.0], [40.0, 40.0], 50.0) == pytest.approx([50.0, 90.0])


@given(st.lists(st.tuples(st.floats(0, 600), st.floats(10, 90)), max_size=12))
def test_blocks_never_meet(blocks: list[tuple[float, float]]) -> None:
    wanted, heights = sorted(top for top, _ in blocks), [height for _, height in blocks]
    tops = spread(wanted, heights, 50.0)
    assert all(top >= 50.0 for top in tops)
    assert all(after - before >= height - 1e-9 for before, after, height in zip(tops, tops[1:], heights, strict=False))


@pytest.mark.parametrize(
    ("box", "free"),
    [((4.0, 4.0, 6.0, 6.0), False), ((6.0, 0.0, 9.0, 3.0), True), ((9.0, 9.0, 12.0, 12.0), False),
     ((11.0, 11.0, 12.0, 12.0), True)],
)  # fmt: skip
def test_a_slanted_stroke_takes_what_it_runs_through(box: tuple[float, float, float, float], free: bool) -> None:
    board = Board(strokes=[((0.0, 0.0), (10.0, 10.0))])
    assert board.free(box, 0.5) is free
    assert board.free(box, 0.5, strokes_too=False)
