"""Cross-members that stand off the even spacing, and ones that are left out."""

from __future__ import annotations

import pytest

from anchorcalc.catalog.tables import Catalog
from anchorcalc.links.beside import lines_beside, share_on
from anchorcalc.mechanics.panels import support_reactions
from anchorcalc.scenario.crosscheck import cross_faults
from anchorcalc.scenario.model import Scenario
from tests.conftest import Texts, checked, rig_of, roadster

CATALOG = Catalog()
INCH = 0.0254
_FLOOR = ("hold_down", "panel_bending", "rolling_shear", "deck_slides")


def with_members(**changes: object) -> Texts:
    texts = roadster()
    texts["deck"]["cross_members"] |= changes
    return texts


def test_unequal_spans_by_hand() -> None:
    # Three moments, spans of 16 and 8 in, load in the middle of the first: 2 M_B (16 + 8) = -P 8 · 8 (16 + 8) / 16,
    # M_B = -2 P; reactions 1/2 - 2/16, 1/2 + 2/16 + 2/8, -2/8.
    assert support_reactions([0.0, 16.0, 24.0], 8.0) == pytest.approx([0.375, 0.875, -0.25])
    # Two equal spans, load in the middle of one: 13/32, 22/32, -3/32 (any handbook of beams).
    assert support_reactions([0.0, 1.0, 2.0], 0.5) == pytest.approx([13 / 32, 22 / 32, -3 / 32])


def test_a_header_close_ahead_pries_on_the_member_before_it() -> None:
    # Members at 8, 24, … 184 in and one at 32 in; a ring in the middle of the bay from 8 to 24 in.
    floor = rig_of(with_members(also_at=["32 in"]), CATALOG).floor
    assert [round(x / INCH, 6) for x in floor.lines[:4]] == [8, 24, 32, 40]
    even = rig_of(roadster(), CATALOG).floor
    at, line = 16 * INCH, 24 * INCH
    # Even spacing, end bay: 0.728 (three moments, below); the nearer next support is stiffer and pries more.
    assert share_on(floor.lines[1], at, floor) > share_on(even.lines[1], at, even) == pytest.approx(0.728, abs=1e-3)
    assert share_on(floor.lines[1], line, floor) == pytest.approx(1.0)
    # The next but one is no neighbour, though it lies nearer than the bay before it is wide.
    assert share_on(floor.lines[2], 22 * INCH, floor) <= 0


def test_by_the_end_of_a_deck_the_last_but_one_takes_more() -> None:
    # Even members at 8, 24 … 184 in; a ring in the middle of the last bay, the deck's front end simply resting there.
    # Three moments, the one before it being -(2 - √3) M: (4 - (2 - √3)) M = -3/8 P L, M = -0.1005 P L.
    floor = rig_of(roadster(), CATALOG).floor
    before = 0.5 + 0.1005 * (1 + 1 + (2 - 3**0.5))
    assert share_on(floor.lines[-2], 176 * INCH, floor) == pytest.approx(before, rel=1e-3)
    assert before > 1.2 * 0.6


@pytest.mark.parametrize("extra", [{"also_at": ["31.3 in"]}, {}])
def test_members_beside_a_ring_are_members_of_its_floor(extra: dict[str, object]) -> None:
    texts = with_members(spacing="14.7 in", **extra)
    for tenth in range(103, 1500, 7):
        texts["anchors"]["rear left"]["at"][0] = f"{tenth / 10} in"
        anchor = rig_of(texts, CATALOG).anchors["rear left"]
        behind, ahead = lines_beside(anchor)
        assert behind <= anchor.at[0] < ahead
        assert {behind, ahead} <= set(anchor.floor.lines)
        assert share_on(behind, anchor.at[0], anchor.floor) + share_on(ahead, anchor.at[0], anchor.floor) >= 1 - 1e-9


def test_the_same_members_told_in_three_ways_are_one_floor() -> None:
    odd = [f"{x} in" for x in range(24, 192, 32)]
    by_adding = with_members(spacing="32 in", also_at=odd)
    by_leaving_out = with_members(spacing="8 in", without=[f"{x} in" for x in range(16, 193, 16)])
    lines = [rig_of(texts, CATALOG).floor.lines for texts in (roadster(), by_adding, by_leaving_out)]
    assert lines[1] == pytest.approx(lines[0])
    assert lines[2] == pytest.approx(lines[0])
    results = [checked(texts, CATALOG) for texts in (roadster(), by_adding)]
    first, second = ({link.key: link.working for link in result.anchors[0].links} for result in results)
    assert {key: second[key] for key in _FLOOR} == pytest.approx({key: first[key] for key in _FLOOR})


def test_a_member_left_out_weakens_the_deck_there() -> None:
    holds = {
        name: {link.key: link.working for link in checked(texts, CATALOG).anchors[2].links}
        for name, texts in (("even", roadster()), ("without", with_members(without=["24 in"])))
    }
    assert holds["without"]["panel_bending"] < 0.8 * holds["even"]["panel_bending"]
    assert holds["without"]["hold_down"] < holds["even"]["hold_down"]


@pytest.mark.parametrize(
    ("changes", "told"),
    [
        ({"without": ["50 in"]}, "without › 0: no cross-member stands there to be left out: the nearest by the even"),
        ({"also_at": ["200 in"]}, "also_at › 0: the cross-member does not lie under the deck"),
        ({"also_at": ["25 in"]}, "also_at: cross-members 2 in (51 mm) wide cannot stand 1 in"),
        (
            {"spacing": "59 in", "without": ["8 in", "67 in", "126 in"]},
            "without: fewer than two cross-members are left",
        ),
    ],
)
def test_members_that_cannot_be(changes: dict[str, object], told: str) -> None:
    found = cross_faults(Scenario.model_validate(with_members(**changes)), CATALOG)
    said = [f"{' › '.join(map(str, path))}: {message}" for path, message in found]
    assert any(told in each for each in said), said
