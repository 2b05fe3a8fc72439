"""What layers hold together, and what a lift leaves to the members beside it, against a general beam solver."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from anchorcalc.mechanics import panels

quiet = settings(derandomize=True, deadline=None, max_examples=100)
layer_lists = st.lists(st.tuples(st.floats(1.0, 1e4), st.floats(1.0, 1e4)), min_size=1, max_size=4)


def _reactions_of_a_long_beam(at: float, spans: int = 15) -> tuple[float, float]:
    """Reactions beside a unit load in the middle span of a beam over many supports, by beam elements."""
    middle = spans // 2
    nodes = sorted({*map(float, range(spans + 1)), middle + at})
    K = np.zeros((2 * len(nodes), 2 * len(nodes)))
    for i, (start, end) in enumerate(itertools.pairwise(nodes)):
        h = end - start
        K[2 * i : 2 * i + 4, 2 * i : 2 * i + 4] += (
            np.array(
                [[12, 6 * h, -12, 6 * h], [6 * h, 4 * h * h, -6 * h, 2 * h * h],
                 [-12, -6 * h, 12, -6 * h], [6 * h, 2 * h * h, -6 * h, 4 * h * h]]
            ) / h**3
        )  # fmt: skip
    load = np.zeros(2 * len(nodes))
    load[2 * nodes.index(middle + at)] = 1.0
    held = [2 * nodes.index(float(support)) for support in range(spans + 1)]
    free = np.setdiff1d(np.arange(len(load)), held)
    moved = np.zeros(len(load))
    moved[free] = np.linalg.solve(K[np.ix_(free, free)], load[free])
    reactions = load - K @ moved
    return float(reactions[2 * nodes.index(float(middle))]), float(reactions[2 * nodes.index(float(middle + 1))])


@pytest.mark.parametrize("at", [0.1, 0.3, 0.5, 0.75])
def test_support_reactions_are_those_of_beam_elements(at):
    found = panels.support_reactions(0.4 * np.arange(16), 0.4 * (7 + at))
    assert found[7:9] == pytest.approx(_reactions_of_a_long_beam(at), rel=1e-9)


@quiet
@given(layers=layer_lists, more=st.tuples(st.floats(1.0, 1e4), st.floats(1.0, 1e4)))
def test_another_layer_never_takes_strength_away(layers, more):
    strength, stiffness = (list(column) for column in zip(*layers, strict=True))
    alone = panels.shared_resistance(strength, stiffness)
    assert panels.shared_resistance([*strength, more[0]], [*stiffness, more[1]]) >= alone * (1 - 1e-12)
    assert panels.shared_resistance(strength * 2, stiffness * 2) == pytest.approx(2 * float(alone))
    assert alone <= sum(strength) * (1 + 1e-12)
    first_break = np.min(np.array(strength) / (np.array(stiffness) / sum(stiffness)))
    assert alone >= first_break * (1 - 1e-12)


def test_layers_that_break_one_by_one():
    # The stiff weak layer goes at a bend of 0.1; the other alone then holds its own 10.
    assert panels.shared_resistance([1.0, 10.0], [10.0, 1.0]) == pytest.approx(10.0)
    # Broken together when the bends are equal.
    assert panels.shared_resistance([2.0, 3.0], [1.0, 1.5]) == pytest.approx(5.0)


def test_a_layer_that_does_not_resist_bending_takes_no_part() -> None:
    # Planks across: stiffness nil. The other one breaks at its own 10 N m/m.
    assert panels.shared_resistance([10.0, 5.0], [2.0, 0.0]) == pytest.approx(10.0)
    assert panels.shared_resistance([0.0, 0.0], [0.0, 0.0]) == 0.0
