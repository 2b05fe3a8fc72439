"""The picture of a choice: axes with round ticks, curves inside their frame, the wood's limit, bars as well."""

from __future__ import annotations

from xml.etree import ElementTree

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from anchorcalc.render.draw.axes import Axes, ticks
from anchorcalc.render.draw.size_picture import size_panels, size_picture
from anchorcalc.render.page.report import ReportParts, report_html
from anchorcalc.result.size import SizeAnswer, Wanted
from anchorcalc.rig.resolve import resolve
from anchorcalc.scenario.model import Scenario
from anchorcalc.sizing.size import backed, pull_direction, size
from anchorcalc.verdict.check import check_rig
from tests.conftest import roadster
from tests.render.test_plan import assert_words_lie_apart
from tests.sizing.setups import CATALOG

SVG = "{http://www.w3.org/2000/svg}"


def answer_for(working: float, direction: str = "strap") -> SizeAnswer:
    at = backed(resolve(Scenario.model_validate(roadster()), CATALOG), None, None)
    way = pull_direction(at, direction)
    return size(at, CATALOG, way, Wanted(working, 0.0, "as asked"), picture=True, shops=True)


@pytest.fixture(scope="module")
def plate() -> SizeAnswer:
    return answer_for(2000.0)


def words_of(root: ElementTree.Element) -> list[str]:
    return [text.text or "" for text in root.iter(f"{SVG}text")]


def test_panels_verdict_and_units_stand_in_the_picture(plate: SizeAnswer) -> None:
    drawn = size_picture(plate)
    assert drawn is not None
    root = ElementTree.fromstring(drawn)
    titles = " ".join(element.text or "" for element in root.iter(f"{SVG}title"))
    for wanted in ("Pressure under", "bends", "thickness", "holds"):
        assert wanted in titles
    words = words_of(root)
    assert plate.verdict.upper() in words
    assert {"[psi]", "into the wood [in]", "daily [lbf]", "thickness of the steel [in]"} <= set(words)
    assert plate.bearing is not None
    assert f"{plate.bearing.strength / 6894.757293168:,.3g} crushes" in words
    assert drawn == size_picture(plate)
    assert "nan" not in drawn
    assert_words_lie_apart(root)


def test_panels_and_choices_stand_in_the_report(plate: SizeAnswer) -> None:
    rig = resolve(Scenario.model_validate(roadster()), CATALOG)
    page = report_html(ReportParts(rig, check_rig(rig), (), plate))
    for said, panel in size_panels(plate):
        _, _, wide, high = map(float, ElementTree.fromstring(panel).get("viewBox", "").split())
        assert f"{said}, first choice." in page
        assert panel.strip() in page
        assert wide == 440.0
        assert high > 300.0
    for choice in plate.choices:
        assert f"{choice.strength.working / 4.4482216152605:,.0f} lbf" in page
        assert choice.governing.name in page
    assert page.count('id="sized"') == page.count('href="#sized"') == 1


def test_curves_stay_in_their_frames(plate: SizeAnswer) -> None:
    drawn = size_picture(plate)
    assert drawn is not None
    root = ElementTree.fromstring(drawn)
    frames = [
        [float(each.get(name, "")) for name in ("x", "y", "width", "height")]
        for each in root.iter(f"{SVG}rect") if each.get("class") == "frame"
    ]  # fmt: skip
    curves = [each for each in root.iter(f"{SVG}path") if (each.get("class") or "").startswith("curve")]
    assert len(curves) >= 3
    for curve in curves:
        places = np.array(curve.get("d", "").replace("M", " ").replace("L", " ").split(), dtype=float).reshape(-1, 2)
        assert any(
            np.all((places >= (x - 0.01, y - 0.01)) & (places <= (x + w + 0.01, y + h + 0.01))) for x, y, w, h in frames
        )


@pytest.mark.parametrize(("wanted", "shown"), [(2000.0, False), (12_000.0, True)])
def test_dashes_are_told_where_there_are_some(wanted: float, shown: bool) -> None:
    """The thinnest steel first bends at 10 kN: beyond a panel that ends at 4 kN, below the end of one of 13.8 kN."""
    answer = answer_for(wanted)
    assert [point.first_bend is not None for _, found in answer.curves for point in found].count(True) > 3
    root = ElementTree.fromstring(size_picture(answer) or "")
    right = max(float(each.get("x", "")) for each in root.iter(f"{SVG}rect") if each.get("class") == "frame")
    dashed = [each.get("d", "") for each in root.iter(f"{SVG}path") if (each.get("class") or "").endswith(" dash")]
    assert any(float(path.removeprefix("M").split()[0]) >= right for path in dashed) == shown
    assert any("first bends" in word for word in words_of(root)) == shown
    assert any("what is wanted" in word for word in words_of(root))


def test_into_the_wood_is_downwards(plate: SizeAnswer) -> None:
    axes = Axes(0.0, 0.0, 100.0, 100.0, (0.0, 1.0), (0.0, 2.0), down=True)
    assert axes.at(0.5, 0.0) == (50.0, 0.0)
    assert axes.at(0.5, 2.0) == (50.0, 100.0)
    assert Axes(0.0, 0.0, 100.0, 100.0, (0.0, 1.0), (0.0, 2.0)).at(1.0, 2.0) == (100.0, 0.0)


def test_bridge_bars_have_a_picture_of_their_links() -> None:
    answer = answer_for(1300.0, "up")
    assert answer.bearing is None
    drawn = size_picture(answer)
    assert drawn is not None
    words = words_of(ElementTree.fromstring(drawn))
    assert any("bridge bar" in word for word in words)
    assert answer.choices[0].governing.name in words


@pytest.mark.parametrize(
    ("low", "high", "found"),
    [
        (0.0, 957.0, [0, 200, 400, 600, 800]), (0.0, 1.0, [0, 0.2, 0.4, 0.6, 0.8, 1.0]), (-0.75, 0.75, [-0.5, 0, 0.5]),
        (0.05, 0.5, [0.1, 0.2, 0.3, 0.4, 0.5]), (3.0, 3.0, [3.0]),
    ],
)  # fmt: skip
def test_ticks_are_round(low: float, high: float, found: list[float]) -> None:
    assert ticks(low, high) == pytest.approx(found)


@given(st.floats(-1e6, 1e6), st.floats(1e-6, 1e6))
def test_ticks_lie_within_and_are_few(low: float, wide: float) -> None:
    high = low + wide
    if high > low:
        found = ticks(low, high)
        slack = 1e-6 * (abs(low) + wide)
        assert len(found) <= 6
        assert all(low - slack <= each <= high + slack for each in found)


def test_a_curve_is_cut_where_it_leaves_its_frame() -> None:
    axes = Axes(0.0, 0.0, 100.0, 100.0, (0.0, 4.0), (0.0, 1.0))
    root = ElementTree.fromstring(axes.curve([(0, 0.5), (2, 1.5), (4, 0.5)], "first"))
    assert [each.get("d") for each in root.iter("path")] == ["M0 50 L25 0", "M75 0 L100 50"]
