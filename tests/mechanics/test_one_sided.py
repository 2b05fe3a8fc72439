"""Springs that hold one way only, by hand."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from anchorcalc.mechanics.hermite import FloatArray, PlateError
from anchorcalc.mechanics.one_sided import OneSidedSprings

RIGID = np.zeros((3, 3))
AT = np.array([[1.0, -1.0], [1.0, 0.0], [1.0, 1.0]])  # rise, and turn, of a bar on springs 1 m apart
STIFF = np.array([1e3, 2e3, 1e3])


@pytest.mark.parametrize(
    ("at", "springs", "rise", "turn"),
    [
        (0.0, (100.0, 200.0, 100.0), 0.1, 0.0),  # 400 N over 4 kN/m
        (0.25, (50.0, 200.0, 150.0), 0.1, 0.05),  # and 100 N m over 2 kN m
        (0.9, (0.0, 40.0, 360.0), 0.02, 0.34),  # the first would have to push: levers, 0.02 m at the second
        (-0.9, (360.0, 40.0, 0.0), 0.02, -0.34),
    ],
)
def test_a_rigid_bar_on_three_springs(at: float, springs: tuple[float, ...], rise: float, turn: float) -> None:
    bar = OneSidedSprings(RIGID, AT, STIFF)
    found = bar.under(np.zeros(3), np.array([400.0, 400.0 * at]))
    assert found.springs == pytest.approx(springs, abs=1e-6)
    assert found.motions == pytest.approx([rise, turn], abs=1e-9)
    less = bar.under(np.zeros(3), 1e-6 * np.array([400.0, 400.0 * at]))  # all of it in proportion
    assert less.springs == pytest.approx(1e-6 * np.array(springs), abs=1e-12)
    soft = OneSidedSprings(RIGID, AT, 1e-6 * STIFF).under(np.zeros(3), np.array([400.0, 400.0 * at]))
    assert soft.springs == pytest.approx(springs, abs=1e-6)
    assert not any(part.any() for part in bar.under(np.zeros(3), np.zeros(2)))


def test_what_no_springs_hold_is_refused() -> None:
    bar = OneSidedSprings(RIGID, AT, STIFF)
    for wrench in ((400.0, 440.0), (-400.0, 0.0), (0.0, 100.0)):
        for size in (1e-9, 1.0, 1e9):
            with pytest.raises(PlateError, match=r"tip or come off|not found"):
                bar.under(np.zeros(3), size * np.array(wrench))
    with pytest.raises(PlateError, match="nothing holds"):
        OneSidedSprings(RIGID, np.column_stack((AT, np.zeros(3))), STIFF)


def bent(C: Any, stiffness: Any, deflections: Any) -> FloatArray:
    """Springs of a body that bends and cannot move, beside another that hangs on a spring of its own."""
    n = len(stiffness)
    both = OneSidedSprings(np.pad(C, ((0, 1), (0, 1))), np.eye(n + 1)[:, n:], np.append(stiffness, 1e3))
    found = both.under(np.append(deflections, 0.0), np.array([3.0]))
    assert found.springs[n] == pytest.approx(3.0)
    return found.springs[:n]


def test_bodies_that_bend() -> None:
    # f = k (δ − C f), k 1 kN/m on as soft a body: 1000 · 0.01 / 2; nothing where it opens.
    assert bent([[1e-3]], [1e3], [0.01]) == pytest.approx([5.0])
    assert bent([[1e-3]], [1e3], [-0.01]) == pytest.approx([0.0])
    # Two springs at one soft place and a third beside it, 1 / k + C in mm/N: (1.5 1 0.5; 1 2 0.5; 0.5 0.5 3) f = δ, and
    # f = (6, 3, 2) asks for 9 + 3 + 1 = 13, 6 + 6 + 1 = 13 and 3 + 1.5 + 6 = 10.5 mm.
    C = np.array([[1.0, 1.0, 0.5], [1.0, 1.0, 0.5], [0.5, 0.5, 1.0]]) * 1e-3
    assert bent(C, [2e3, 1e3, 5e2], [0.013, 0.013, 0.0105]) == pytest.approx([6.0, 3.0, 2.0])
    # The second 5 mm back: the others alone, (1.5 0.5; 0.5 3) f = (13, 10.5), give 33.75 / 4.25 and 9.25 / 4.25 N, and
    # it opens, for 1 · 7.941 + 0.5 · 2.176 is more than 8.
    assert bent(C, [2e3, 1e3, 5e2], [0.013, 0.008, 0.0105]) == pytest.approx([33.75 / 4.25, 0.0, 9.25 / 4.25])


def test_a_bar_that_settles_on_uneven_ground() -> None:
    """The middle one of three like springs stands 0.3 m back of the others: 200 N leave it open, 900 N close it.

    0.1 m at each end; then 900 = 1000 (2 q + q − 0.3), q 0.4: 400, 100 and 400 N.
    """
    bar = OneSidedSprings(RIGID, AT, np.full(3, 1e3))
    back = np.array([0.0, -0.3, 0.0])
    assert bar.under(back, np.array([200.0, 0.0])).springs == pytest.approx([100.0, 0.0, 100.0])
    assert bar.under(back, np.array([900.0, 0.0])).springs == pytest.approx([400.0, 100.0, 400.0])


def test_whatever_holds_is_found_among_many() -> None:
    """f = k max(δ, 0) with δ = δ_0 − C f + G q, in balance: 200 soft bars on fourteen springs, some far back."""
    rng = np.random.default_rng(7)
    for _ in range(200):
        x = np.linspace(-1.0, 1.0, 14)
        G, k = np.column_stack((np.ones(14), x)), 10 ** rng.uniform(2, 6, 14)
        bends = rng.normal(size=(14, 5))
        C, back = 10 ** rng.uniform(-6, -3) * bends @ bends.T, rng.normal(size=14) * 10 ** rng.uniform(-4, 0)
        load = np.array([1e3, 1e3 * rng.uniform(-0.9, 0.9)])
        f, q = OneSidedSprings(C, G, k).under(back, load)
        assert f == pytest.approx(k * np.maximum(back - C @ f + G @ q, 0.0), rel=1e-6, abs=1e-6 * f.max())
        assert G.T @ f == pytest.approx(load, abs=1e-6)


def test_what_springs_give_does_not_hang_on_what_was_asked_before() -> None:
    """The search begins where the last one ended, be that near or far: 200 loads on a beam, in two orders."""
    random = np.random.default_rng(5)
    at = np.linspace(0.0, 2.0, 15)
    C = 1e-4 * np.minimum.outer(at, at) ** 2 * (3 * np.maximum.outer(at, at) - np.minimum.outer(at, at)) / 6
    motions = np.column_stack((np.ones(15), at)) * np.where(np.arange(15) % 3 == 1, -1.0, 1.0)[:, None]
    signed = C * np.outer(motions[:, 0], motions[:, 0])
    loads = [(random.normal(size=15) * 1e-3, motions.T @ random.uniform(0, 500, 15)) for _ in range(200)]
    beam = OneSidedSprings(signed, motions, random.uniform(1e4, 1e6, 15))
    once = [beam.under(*load) for load in loads]
    again = [beam.under(*load) for load in reversed(loads)][::-1]
    for one, other in zip(once, again, strict=True):
        assert other.springs == pytest.approx(one.springs, rel=1e-9, abs=1e-9 * one.springs.max())
        assert other.motions == pytest.approx(one.motions, rel=1e-7, abs=1e-12)
    held = {tuple(found.springs > 0) for found in once}
    assert len(held) > 20
