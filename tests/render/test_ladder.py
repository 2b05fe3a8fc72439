"""Section and ladder: what they show is what was found, to one scale."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from anchorcalc.catalog.tables import Catalog
from anchorcalc.fitting.sheet import fitting
from anchorcalc.render.draw import ladder
from anchorcalc.render.draw.fit_picture import fit_picture
from anchorcalc.render.draw.section import section
from anchorcalc.render.draw.shapes import Box, Patch, Shape, Words, box_of
from anchorcalc.resources import data_folder
from anchorcalc.result import AnchorStrength, Link, Result
from anchorcalc.units import US
from anchorcalc.verdict.check import check_rig
from tests.conftest import rig_of, roadster, texts_of
from tests.render.mountings import TEN, set_up

SVG = "{http://www.w3.org/2000/svg}"
INCH = 25.4


@pytest.fixture(scope="module")
def result(catalog: Catalog) -> Result:
    return check_rig(rig_of(roadster(), catalog))


def shapes_of(name: str, catalog: Catalog) -> list[Shape]:
    rig = rig_of(set_up(name) if name in TEN else roadster(), catalog)
    return section(rig.anchors["front left"], fitting(rig).mountings[0], US)


def patches(shapes: list[Shape], layer: str) -> list[Box]:
    return [box_of(shape) for shape in shapes if isinstance(shape, Patch) and shape.layer == layer]


def said(shapes: list[Shape]) -> str:
    return " ".join(shape.text for shape in shapes if isinstance(shape, Words))


def test_the_stack_is_drawn_in_true_proportion(catalog: Catalog) -> None:
    """Two sheets of 3/4 in on a 2 in tube, plate 6 in long and 3/16 in thick, bolts 1/2 in and 3 1/4 in apart."""
    shapes = shapes_of("plated", catalog)
    wood, steel = patches(shapes, "wood"), patches(shapes, "steel")
    scale = (wood[0][3] - wood[0][1]) / (0.75 * INCH)
    assert f"{scale:.2f} of true size" in said(shapes)

    def sized(wide: float, tall: float) -> list[Box]:
        return [
            box for box in steel
            if box[2] - box[0] == pytest.approx(wide * INCH * scale, rel=1e-6)
            and box[3] - box[1] == pytest.approx(tall * INCH * scale, rel=1e-6)
        ]  # fmt: skip

    assert [box[3] - box[1] for box in wood] == pytest.approx([0.75 * INCH * scale] * 2)
    (plate,) = sized(6, 3 / 16)
    assert plate[3] == pytest.approx(min(box[1] for box in wood))  # against the underside
    bolts = sized(0.5, 2.75)
    assert len(bolts) == 2
    assert bolts[1][0] - bolts[0][0] == pytest.approx(3.25 * INCH * scale, abs=0.02)
    (top,) = sized(2, 0.1163)  # its wall is 0.93 of the nominal 1/8 in
    assert top[3] == pytest.approx(plate[3])  # the tube's upper wall lies under the deck, beside the plate
    assert top[2] == pytest.approx(plate[0])  # 4 in from the ring's middle, half of 2 in, and half of 6 in
    words = said(shapes)
    for wanted in (
        "layer 1: softwood-plywood 3/4 in (19 mm), grain across", "plate 3/16 in (4.8 mm), mild steel",
        "bolt 1/2-13, 2 3/4 in", "cross-member tube-2x2x1/8", "lock nut", "beyond the nut",
    ):  # fmt: skip
        assert wanted in words


@pytest.mark.parametrize("name", TEN)
def test_every_mounting_has_its_section(name: str, catalog: Catalog) -> None:
    shapes = shapes_of(name, catalog)
    words = said(shapes)
    backing = TEN[name]["backing"]["kind"]
    wanted = {
        "plate": "plate 1/4",
        "washers": "washer",
        "bridge": "bridge bar 1/2 in",
        "member": "cross-member",
        "none": "#14",
    }
    assert (wanted[backing] in words) or (name == "skew plate" and "plate 1/4 in" in words)
    assert ("opening 2 1/2 in" in words) == (name == "recessed")
    if backing == "bridge":  # the bar lies below both members: a depth of 2 in under the deck
        wood = patches(shapes, "wood")
        scale = (wood[0][3] - wood[0][1]) / (0.75 * INCH)
        under = min(box[1] for box in wood) - 2 * INCH * scale
        assert any(
            box[3] == pytest.approx(under) and box[3] - box[1] == pytest.approx(0.5 * INCH * scale)
            for box in patches(shapes, "steel")
        )
        assert "12 in (304.8 mm) from the ring's" in words  # broken away, the true distance written


def link(name: str, working: float, breaking: float) -> Link:
    return Link(name, name, breaking, working, "", "", "")


def test_what_gives_first_and_by_how_much() -> None:
    strength = AnchorStrength("a", "m", (1.0, 0.0, 0.0), (link("wood", 1500.0, 4500.0), link("ring", 1000.0, 3000.0)))
    assert [each.name for each in ladder.in_order(strength)] == ["ring", "wood"]
    assert ladder.sentence(strength, US) == "First gives: ring, 225 lbf daily; next: wood, which holds 50 % more."


def test_bars_are_as_long_as_what_they_hold(result: Result) -> None:
    strength = result.anchors[0]
    asked = ladder.asked_of(result, strength.anchor)
    pulls = [
        (case.level, state.tension) for case in result.cases for state in case.straps if state.anchor == strength.anchor
    ]
    assert asked.working == max(pull for level, pull in pulls if level == "working")
    assert asked.breaking == max(pull for level, pull in pulls if level == "breaking")
    root = ElementTree.fromstring(ladder.ladder(strength, result))
    rows = [
        group for group in root.iter(f"{SVG}g")
        if (title := group.find(f"{SVG}title")) is not None and ": holds " in (title.text or "")
    ]  # fmt: skip
    links = ladder.in_order(strength)
    assert len(rows) == len(links)
    first = {rect.get("class"): float(rect.get("width", "")) for rect in rows[0].iter(f"{SVG}rect")}
    assert first["daily"] / first["at-most"] == pytest.approx(links[0].working / links[0].breaking, rel=1e-3)
    marks = {line.get("class"): float(line.get("x1", "")) for line in rows[0].iter(f"{SVG}line")}
    assert marks["asked"] / first["daily"] == pytest.approx(asked.working / links[0].working, rel=1e-3)
    assert marks["asked last"] / first["at-most"] == pytest.approx(asked.breaking / links[0].breaking, rel=1e-3)


def test_the_same_picture_gives_the_same_bytes(catalog: Catalog, result: Result) -> None:
    rig = rig_of(roadster(), catalog)
    assert fit_picture(rig, result) == fit_picture(rig, result)
    assert "NOT STRONG ENOUGH" not in fit_picture(rig, result)


def test_a_ring_at_the_other_end_of_a_strap_that_slides_is_asked_for_its_pull_too(catalog: Catalog) -> None:
    """The strap pulls as hard at both of its rings, whichever of them comes nearer to its limit."""
    texts = texts_of(data_folder("scenarios") / "quad.yaml")
    for strap in texts["straps"].values():
        strap["slides"] = "yes"
    result = check_rig(rig_of(texts, catalog))
    strap = rig_of(texts, catalog).straps["front left"]
    asked = [ladder.asked_of(result, ring) for ring, _ in strap.legs]
    assert asked[0].working > 0
    assert asked[1].working >= asked[0].working  # the middle ring also has the end of another strap
