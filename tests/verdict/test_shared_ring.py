"""Several straps on one ring: what is shown can be divided, and of mirrored swerves the harder strap is told."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING

import pytest
import yaml

from anchorcalc.result.check import by_use
from tests.cli.test_commands import run
from tests.conftest import Texts, checked, edited, roadster

if TYPE_CHECKING:
    from pathlib import Path

    from anchorcalc.catalog.tables import Catalog


def fanned(rated: str = "900 lbf") -> Texts:
    """The roadster, both of its front straps on one weak ring in the middle, so tight that neither goes slack."""
    texts = edited(roadster(), "mountings", "middle", value={**roadster()["mountings"]["plated"]})
    texts = edited(texts, "mountings", "middle", "ring", "rated", value=rated)
    del texts["anchors"]["front left"], texts["anchors"]["front right"]
    texts["anchors"]["middle"] = {"at": ["172 in", "0 in"], "mounting": "middle"}
    for side in ("left", "right"):
        texts["straps"][f"front {side}"]["anchor"] = "middle"
    for strap in texts["straps"].values():
        strap["hand_tension"] = "800 lbf"
    return texts


def test_pull_and_limit_that_are_told_make_the_use(catalog: Catalog) -> None:
    shared = []
    for case in checked(fanned(), catalog).cases:
        for state in case.at_rings:
            pull, limit = state.told
            assert state.utilisation in (0.0, pytest.approx(pull / limit))
            if state.shared is not None:
                shared.append(state)
                assert state.shared.straps == ("front left", "front right")
                assert state.anchor == "middle"
                assert state.limit == pytest.approx(limit * state.tension / pull)
    assert shared
    assert not any(state.shared for case in checked(roadster(), catalog).cases for state in case.at_rings)


def test_of_straps_that_share_a_ring_the_harder_pulled_stands_for_the_case(catalog: Catalog) -> None:
    cases = {(case.case, case.level): case for case in checked(fanned("600 lbf"), catalog).cases}
    found = {}
    for way in ("left", "right"):
        case = cases[way, "working"]
        state = max(case.straps, key=by_use)
        assert state.shared is not None
        assert state.tension == max(each.tension for each in case.straps if each.anchor == "middle")
        found[way] = state
    assert found["left"].strap != found["right"].strap
    assert found["left"].told == pytest.approx(found["right"].told)


def test_straps_against_each_other_ask_the_ring_as_low_as_each_of_them_lies(catalog: Catalog) -> None:
    """By its maker it holds less along the deck: together they pull it nearly straight up, each by itself does not."""
    texts = fanned("3000 lbf")
    texts["anchors"]["middle"]["at"] = ["136 in", "0 in"]  # between its two hooks, 16 in to either side
    texts["mountings"]["middle"]["ring"]["rated_flat"] = "300 lbf"
    for side in ("left", "right"):
        point = texts["load"]["tie_points"][f"front {side}"]
        assert [each.split()[0] for each in point["at"]][:2] == ["136", "16" if side == "left" else "-16"]
        point["at"][2] = "4 1/2 in"
    height = 4.5 - 0.5
    up = height / math.hypot(16, height)
    by_maker = 3000 * 300 / (3000 * (1 - up**2) + 300 * up**2)
    case = next(each for each in checked(texts, catalog).cases if (each.case, each.level) == ("forward", "working"))
    states = [state for state in case.at_rings if state.anchor == "middle"]
    assert [state.weakest_key for state in states] == ["ring", "ring"]
    assert [state.limit / 4.4482216 for state in states] == pytest.approx([by_maker] * 2, rel=1e-6)


def test_the_screens_tell_the_whole_ring(tmp_path: Path, catalog: Catalog) -> None:
    file = tmp_path / "fanned.yaml"
    file.write_text(yaml.safe_dump(fanned("600 lbf"), sort_keys=False), encoding="utf-8")
    shown = run("check", str(file)).stdout
    assert "swerve either way" in shown
    assert "swerve left" not in shown
    assert "Pull and limit at middle: of all straps on the ring." in shown
    rows = re.findall(r"^ .* g +working +([\d,]+) +([\d,]+) +(\d+) %", shown, re.MULTILINE)
    assert len(rows) == 4
    for pull, limit, used in ((float(text.replace(",", "")) for text in row) for row in rows):
        assert 100 * pull / limit == pytest.approx(used, abs=1)
    everything = run("check", str(file), "--all").stdout
    assert "a + b: straps that share a ring" in everything
    assert "of all straps on the ring" not in run("check", "roadster").stdout
    assert "a + b" not in run("check", "roadster", "--all").stdout
