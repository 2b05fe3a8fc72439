"""Fasteners left out between others of a strip are told with what they cost."""

from __future__ import annotations

import numpy as np
import pytest

from anchorcalc.links.path import Strengths
from anchorcalc.verdict.forces import Forces
from anchorcalc.verdict.gaps import _left_out, missing_fasteners
from tests.conftest import Texts
from tests.links.setups import deck, rig_of, screws, setup

INCH = 0.0254


def strip(*along: float) -> Texts:
    at = {"points": [[f"{x} in", "0 in"] for x in along]}
    return setup(deck(), screws(at=at, base=(26.0, 3.0), base_thickness="1/8 in"), (64.0, 12.0))


@pytest.mark.parametrize(
    ("along", "missing"),
    [
        ((-12, -9, -6, -3, 0, 3, 6, 9, 12), []),
        ((-12, -9, -6, 6, 9, 12), [-3, 0, 3]),
        ((-12, -6, -3, 3, 6, 12), []),  # six twice and three twice: the wider is as likely to be meant
        ((-12, -9, -6, 0, 3, 9, 12), [-3, 6]),
        ((-12, -7, -1, 2, 6, 12), []),  # no two alike: nobody can say
        ((-12, 0, 12), []),
    ],
)
def test_what_the_rows_own_spacing_asks_for(along: tuple[float, ...], missing: list[float]) -> None:
    found = _left_out(rig_of(strip(*along)).mountings["it"])
    assert sorted(np.round(found[:, 0] / INCH, 6)) == missing
    assert not found[:, 1].any()


def test_what_they_cost() -> None:
    """The ring stands in the middle, where the fasteners are left out."""
    told = []
    for along in ((-12, -9, -6, 6, 9, 12), (-12, -9, -6, -3, 0, 3, 6, 9, 12)):
        rig = rig_of(strip(*along))
        told.append(list(missing_fasteners(Forces(rig, Strengths(rig.basis)))))
    ((line,), none) = told
    assert none == []
    had, could = (float(part.split(" lbf")[0].split()[-1]) for part in line.split(", with them"))
    assert line.startswith("Mounting it leaves out 3 of its fasteners between others: ring 1 holds ")
    assert could > 1.2 * had
