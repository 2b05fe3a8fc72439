"""The deck plan: valid XML, true to scale, and what it says is what the result says."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest

from anchorcalc.catalog.tables import Catalog
from anchorcalc.render.draw import axes, ladder, plan_style, shapes_svg
from anchorcalc.render.draw.letters import screen_width
from anchorcalc.render.draw.plan import DeckPlan, plan_inline, plan_svg
from anchorcalc.render.draw.plan_style import glyph
from anchorcalc.render.draw.shapes import Box, apart, within
from anchorcalc.render.figures import force, units_of
from anchorcalc.resources import data_folder
from anchorcalc.result.check import by_use
from anchorcalc.verdict.check import check_rig
from tests.conftest import SCENARIOS, Texts, edited, rig_of, roadster, texts_of
from tests.render.hostile import hostile_names, zone

SVG = "{http://www.w3.org/2000/svg}"
QUAD = data_folder("scenarios") / "quad.yaml"
ENDWAYS = next(path for path in SCENARIOS if path.stem == "cart-held-endways-only")


def planned(texts: Texts, catalog: Catalog) -> DeckPlan:
    rig = rig_of(texts, catalog)
    return DeckPlan(rig, check_rig(rig))


def drawn(texts: Texts, catalog: Catalog) -> ElementTree.Element:
    return ElementTree.fromstring(plan_svg(planned(texts, catalog)))


def groups(root: ElementTree.Element, start: str) -> list[ElementTree.Element]:
    """Groups whose title begins with `start`."""
    return [
        group for group in root.iter(f"{SVG}g")
        if (title := group.find(f"{SVG}title")) is not None and (title.text or "").startswith(start)
    ]  # fmt: skip


def corners(shape: ElementTree.Element) -> np.ndarray:
    """Points of a path of straight lines."""
    words = shape.get("d", "").replace("M", " ").replace("L", " ").replace("Z", " ").split()
    return np.array([float(word) for word in words]).reshape(-1, 2)


def words_of(root: ElementTree.Element) -> list[str]:
    return [text.text or "" for text in root.iter(f"{SVG}text")]


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_every_shipped_scenario_has_a_plan_that_says_what_its_result_says(path, catalog: Catalog) -> None:
    texts = texts_of(path)
    plan = planned(texts, catalog)
    root = ElementTree.fromstring(plan_svg(plan))
    words = words_of(root)
    assert plan.result.verdict.upper() in words
    assert [state.anchor for state in plan.result.states] == list(plan.rig.anchors)
    for state in plan.result.states:
        (shown,) = groups(root, f"anchor {state.anchor}: ")
        assert state.verdict is None or f"sign {state.verdict}" in [each.get("class") for each in shown.iter()]
        verdict = "NO STRAP" if state.verdict is None else state.verdict.upper()
        assert any(word.startswith(verdict) for word in words)
    assert len(groups(root, "cross-member ")) == len(plan.rig.floor.lines)
    assert len(groups(root, "wheel ")) == len(plan.rig.load.wheels)
    assert len(groups(root, "tie point ")) == len(plan.rig.load.tie_points)


def test_the_pull_of_every_strap_in_every_case_stands_in_the_plan(catalog: Catalog) -> None:
    plan = planned(roadster(), catalog)
    root = ElementTree.fromstring(plan_svg(plan))
    words = words_of(root)
    for case in plan.result.cases:
        for state in case.straps:
            if state.tension > 0:
                assert f"{state.tension / 4.4482216152605:,.0f}" in words
    states = [state for case in plan.result.cases for state in case.straps if state.strap == "rear left"]
    hardest = max(states, key=by_use).tension
    (strap,) = groups(root, "strap rear left: ")
    assert [text.text for text in strap.iter(f"{SVG}text")] == [f"3: {hardest / 4.4482216152605:,.0f} lbf"]


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_the_pull_beside_a_strap_belongs_to_the_use_beside_its_anchor(path: Path, catalog: Catalog) -> None:
    """A harder pull at breaking strength may use less of its limit than a lesser one of every day."""
    shown = planned(texts_of(path), catalog)
    units = units_of(shown.result)
    titles = [group.findtext(f"{SVG}title", "") for group in groups(drawn(texts_of(path), catalog), "strap ")]
    told = dict(title.removeprefix("strap ").split(": ", 1) for title in titles if ": " in title)
    for strap in shown.rig.straps:
        held = [(case, state) for case in shown.result.cases if case.held for state in case.straps]
        state = max((state for _, state in held if state.strap == strap), key=by_use)
        assert told[strap] == f"{force(state.tension, units)} in the case that uses most of its limit"
        anchor = shown.result.state_of(state.anchor)
        if len([each for each in shown.rig.straps.values() if anchor.anchor in dict(each.legs)]) == 1:
            assert anchor.utilisation == state.utilisation


def test_distances_are_to_scale(catalog: Catalog) -> None:
    root = drawn(roadster(), catalog)

    def place(anchor: str) -> np.ndarray:
        (group,) = groups(root, f"anchor {anchor}: ")
        (sign,) = (each for each in group.iter(f"{SVG}circle") if each.get("class") == "sign pass")
        return np.array([float(sign.get("cx", "")), float(sign.get("cy", ""))])

    deck = corners(next(each for each in root.iter(f"{SVG}path") if each.get("class") == "deck"))
    wide, long = np.ptp(deck, axis=0)
    assert long / wide == pytest.approx(192 / 80, rel=1e-4)
    per_inch = long / 192
    assert place("front left") == pytest.approx(
        [deck[:, 0].mean() - 34 * per_inch, deck[:, 1].min() + 20 * per_inch], abs=0.01
    )
    assert place("rear right") - place("front left") == pytest.approx([68 * per_inch, 152 * per_inch], abs=0.01)
    middles = [corners(group.find(f"{SVG}path")).mean(axis=0)[1] for group in groups(root, "cross-member ")]
    assert np.diff(middles) == pytest.approx([-16 * per_inch] * (len(middles) - 1), abs=0.01)
    assert deck[:, 1].max() - middles[0] == pytest.approx(8 * per_inch, abs=0.01)


def test_straps_over_points_run_from_ring_to_ring_and_stops_stand_where_they_push(catalog: Catalog) -> None:
    texts = texts_of(QUAD)
    texts["straps"]["front left"]["slides"] = "yes"
    texts["load"]["stops"] = {
        "chock": {"at": ["100 in", "19 in", "6 in"], "pushes": "rearward", "rated": "500 lbf"},
        "wall": {"at": ["66 in", "30 in", "6 in"], "pushes": "right", "rated": "500 lbf"},
    }
    root = drawn(texts, catalog)
    line = corners(next(each for each in groups(root, "strap front left: ")[0] if each.get("class") == "strap"))
    deck = corners(next(each for each in root.iter(f"{SVG}path") if each.get("class") == "deck"))
    per_inch = np.ptp(deck[:, 1]) / 144
    ahead = (deck[:, 1].max() - line[:, 1]) / per_inch
    left = (deck[:, 0].mean() - line[:, 0]) / per_inch
    assert ahead == pytest.approx([114, 98, 90, 82, 66], abs=0.1)
    assert left == pytest.approx([31, 19, 19, 19, 31], abs=0.1)
    for name, way in (("chock", [0, 1]), ("wall", [1, 0])):  # in the drawing, where ahead is up and left is less
        (shown,) = groups(root, f"stop {name}")
        arrow = corners([each for each in shown if each.get("class") == "stop"][1])
        assert (arrow[1] - arrow[0]) / np.linalg.norm(arrow[1] - arrow[0]) == pytest.approx(way, abs=1e-6)


def test_a_nose_is_drawn_with_its_corners(catalog: Catalog) -> None:
    texts = edited(roadster(), "deck", "nose", value={"length": "40 in", "width": "20 in"})
    deck = corners(next(each for each in drawn(texts, catalog).iter(f"{SVG}path") if each.get("class") == "deck"))
    assert len(deck) >= 6
    front = deck[np.isclose(deck[:, 1], deck[:, 1].min()), 0]
    assert np.ptp(front) / np.ptp(deck[:, 0]) == pytest.approx(20 / 80, rel=1e-4)


def test_a_deck_out_of_square_is_drawn_so(catalog: Catalog) -> None:
    root = drawn(edited(roadster(), "deck", "width_front", value="72 in"), catalog)
    deck = corners(next(each for each in root.iter(f"{SVG}path") if each.get("class") == "deck"))
    front, rear = (np.ptp(deck[deck[:, 1] == edge, 0]) for edge in (deck[:, 1].min(), deck[:, 1].max()))
    assert front / rear == pytest.approx(72 / 80, rel=1e-4)
    first, last = (corners(groups(root, "cross-member ")[at].find(f"{SVG}path")) for at in (0, -1))
    assert np.ptp(last[:, 0]) < np.ptp(first[:, 0])


def test_zones_joints_and_what_is_in_the_way_show(catalog: Catalog) -> None:
    texts = edited(roadster(), "deck", "no_go", value=[zone("brake line", ("150 in", "30 in"), ("190 in", "36 in"))])
    texts = edited(texts, "deck", "wheel_wells", value=[zone("left well", ("60 in", "36 in"), ("96 in", "40 in"))])
    texts["deck"]["layers"][0]["joints_across"] = ["96 in"]
    texts["deck"]["layers"][1]["joints_along"] = ["2 in", "-2 in"]
    root = drawn(texts, catalog)
    assert len(groups(root, "stay clear: brake line")) == len(groups(root, "wheel well: left well")) == 1
    assert len(groups(root, "joint of layer 1")) == 1
    assert len(groups(root, "joint of layer 2")) == 2
    rings = [name for name in texts["anchors"] if ring_of(root, name)]
    assert rings == ["front left"]
    assert any("front left: base over zone brake line" in word for word in words_of(root))
    assert "FAIL 62 %" in words_of(root)
    assert any(re.fullmatch(r"\d in the way", word) for word in words_of(root))


def ring_of(root: ElementTree.Element, anchor: str) -> bool:
    (group,) = groups(root, f"anchor {anchor}: ")
    return any(each.get("class") == "conflict-ring" for each in group.iter())


def test_every_verdict_has_a_shape_of_its_own() -> None:
    shapes = []
    for verdict in ("pass", "marginal", "fail", None):
        root = ElementTree.fromstring(glyph(verdict, 0, 0))
        outline = next(each for each in root.iter() if (each.get("class") or "").startswith("sign"))
        corner_count = 0 if outline.tag == "circle" else len(corners(outline))
        marks = [each for each in root.iter() if each.get("class") == "mark"]
        shapes.append((corner_count, len(marks)))
    assert shapes == [(0, 1), (3, 1), (8, 1), (0, 0)]


def test_what_is_not_held_is_said_and_has_no_number(catalog: Catalog) -> None:
    text = plan_svg(planned(texts_of(ENDWAYS), catalog))
    assert text.count(">not held<") == 8
    assert not re.search(r"\b(nan|inf|None)\b", text)


def test_anchor_without_a_strap_is_drawn_apart(catalog: Catalog) -> None:
    spare = {"at": ["96 in", "0 in"], "mounting": "plated"}
    root = drawn(edited(roadster(), "anchors", "spare", value=spare), catalog)
    (group,) = groups(root, "anchor spare: no strap")
    assert "sign unused" in [each.get("class") for each in group.iter()]
    assert {"NO STRAP", "on centreline [in]"} <= set(words_of(root))


def twelve_anchors() -> Texts:
    """The roadster with eight rings and straps more."""
    texts = roadster()
    for number in range(8):
        x, side = (60, 75, 112, 131)[number // 2], 1 if number % 2 else -1
        ring, point = f"middle ring number {number}", f"point {number}"
        texts["anchors"][ring] = {"at": [f"{x} in", f"{30 * side} in"], "mounting": "plated"}
        texts["load"]["tie_points"][point] = {"at": [f"{x + 8} in", f"{14 * side} in", "12 in"], "rated": "5000 lbf"}
        strap = {"kind": "webbing", "width": "2 in", "rated": "3333 lbf", "hand_tension": "150 lbf"}
        texts["straps"][f"extra {number}"] = strap | {"anchor": ring, "to": point}
    return texts


def names_of_sixty_letters() -> Texts:
    """The roadster with names in Chinese, Arabic and Cyrillic letters."""
    chinese = "前左角的铁环和六英寸钢板" * 5
    arabic = "حلقة أمامية يسرى مع صفيحة فولاذية تحت أرضية المقطورة الصغيرة جدا"
    texts = edited(roadster(), "title", value=chinese)
    texts["load"]["name"] = "Переднее левое кольцо на стальной пластине под полом прицепа №3"
    texts["mountings"][arabic] = texts["mountings"]["plated"]
    texts["anchors"][chinese] = texts["anchors"].pop("front left") | {"mounting": arabic}
    texts["straps"][arabic] = texts["straps"].pop("front left") | {"anchor": chinese}
    return texts


Placed = tuple[str, str, Box]
"""Words, their style, and the box that they take in the widest font."""


def placed_words(element: ElementTree.Element, x: float = 0.0, y: float = 0.0) -> Iterator[Placed]:
    """All words of a drawing where they stand in it."""
    moved = re.match(r"translate\(([-\d.]+) ([-\d.]+)\)", element.get("transform", ""))
    x, y = (x + float(moved[1]), y + float(moved[2])) if moved else (x, y)
    if element.tag == f"{SVG}text":
        style = element.get("class", "")
        size = 11.5 if "small" in style else 17.0 if "head" in style else 13.0
        wide = screen_width(element.text or "", size, bold="bold" in style or "head" in style)
        left = x + float(element.get("x", "")) - (wide if "end" in style else wide / 2 if "middle" in style else 0.0)
        foot = y + float(element.get("y", ""))
        yield element.text or "", style, (left, foot - 0.75 * size, left + wide, foot + 0.2 * size)
    for child in element:
        yield from placed_words(child, x, y)


def assert_words_lie_apart(root: ElementTree.Element) -> None:
    """No words lie on other words or, of those on the deck, on an anchor's sign; none reach beyond the paper."""
    found = list(placed_words(root))
    _, _, width, height = map(float, root.get("viewBox", "").split())
    signs = [each for group in groups(root, "anchor ") for each in group.iter(f"{SVG}circle")]
    centres = [(float(each.get("cx", "")), float(each.get("cy", ""))) for each in signs]
    for number, (said, style, box) in enumerate(found):
        assert within(box, (0.0, 0.0, width, height)), said
        assert [other for other, _, taken in found[:number] if not apart(box, taken)] == [], said
        assert "halo" not in style or all(apart(box, (x, y, x, y), 8.0) for x, y in centres), said


def test_words_of_many_anchors_in_a_row_lie_apart(catalog: Catalog) -> None:
    texts = roadster()
    for number in range(12):
        texts["anchors"][f"spare {number}"] = {"at": [f"{90 + number} in", "36 in"], "mounting": "plated"}
    assert_words_lie_apart(drawn(texts, catalog))


def test_words_of_what_holds_nothing_lie_apart_and_off_the_edge_of_the_deck(catalog: Catalog) -> None:
    """Bolts that miss their member; a strap so short beside the edge that its words were laid over both."""
    texts = edited(roadster(), "anchors", "rear left", "at", value=["20 in", "36 in"])
    texts["mountings"]["plated"]["backing"] = {"kind": "member", "through": "all", "walls": "one"}
    texts["load"]["tie_points"]["rear left"]["at"] = ["24 in", "30 in", "18 in"]
    root = drawn(texts, catalog)
    assert_words_lie_apart(root)
    assert "no hold" in words_of(root)
    deck = corners(next(each for each in root.iter() if each.get("class") == "deck"))
    low, high = deck.min(axis=0), deck.max(axis=0)
    for strap in groups(root, "strap "):
        ((said, _, (left, top, right, bottom)),) = placed_words(strap)
        inside = low[0] < left and right < high[0] and low[1] < top and bottom < high[1]
        outside = right < low[0] or left > high[0] or bottom < low[1] or top > high[1]
        assert inside or outside, said


def test_every_strap_of_a_crowded_plan_keeps_its_number_beside_it(catalog: Catalog) -> None:
    root = drawn(twelve_anchors(), catalog)
    assert_words_lie_apart(root)
    for number, name in enumerate([*roadster()["straps"], *(f"extra {number}" for number in range(8))], start=1):
        (strap,) = groups(root, f"strap {name}: ")
        ((said, _, box),) = placed_words(strap)
        assert re.fullmatch(rf"{number}: [\d,]+ lbf", said)
        line = corners(next(each for each in strap if each.get("class") == "strap"))
        along = line[0] + np.linspace(0, 1, 101)[:, None] * (line[1] - line[0])
        middle = np.array([(box[0] + box[2]) / 2, (box[1] + box[3]) / 2])
        half = np.array([(box[2] - box[0]) / 2, (box[3] - box[1]) / 2])
        off = np.linalg.norm(np.maximum(abs(along - middle) - half, 0.0), axis=1)
        assert 2.0 < off.min() < 26.0
        assert any(re.search(rf"\b{number}\b.*: \d+°", word) for word in words_of(root))


def test_a_strap_that_cannot_slide_is_drawn_where_it_lies_and_stops_tell_their_pushes(catalog: Catalog) -> None:
    """The strap of the quad lies on three points of its tyre: 98, 90 and 82 in from the rear edge."""
    root = drawn(texts_of(QUAD), catalog)
    assert_words_lie_apart(root)
    (leg,) = groups(root, "strap front left, first leg: ")
    _, middle = (corners(each) for each in leg if each.get("class") == "strap")
    deck = corners(next(each for each in root.iter(f"{SVG}path") if each.get("class") == "deck"))
    assert (deck[:, 1].max() - middle[:, 1]) / (np.ptp(deck[:, 1]) / 144) == pytest.approx([98, 90, 82], abs=0.1)
    plan = planned(texts_of(data_folder("scenarios") / "motorcycle.yaml"), catalog)
    words = words_of(ElementTree.fromstring(plan_svg(plan)))
    pushes = [stop.push / 4.4482216152605 for case in plan.result.cases for stop in case.stops if stop.push > 5.0]
    assert pushes
    assert {f"{push:,.0f}" for push in pushes} <= set(words)
    assert "chock, ahead" in words


def test_the_legend_tells_only_of_what_is_there(catalog: Catalog) -> None:
    words = set(words_of(drawn(roadster(), catalog)))
    assert {"anchor passes", "plate, to scale", "main rail under the deck"} <= words
    assert words.isdisjoint({"anchor fails", "joint of a layer", "something is in the way", "wheel well", "stay clear"})
    texts = edited(roadster(), "deck", "no_go", value=[zone("brake line", ("150 in", "30 in"), ("190 in", "36 in"))])
    texts["deck"]["layers"][0]["joints_across"] = ["96 in"]
    assert {"anchor fails", "joint of a layer", "something is in the way", "stay clear"} <= set(
        words_of(drawn(texts, catalog))
    )


def test_plates_and_arrows_are_to_scale(catalog: Catalog) -> None:
    root = drawn(roadster(), catalog)
    deck = corners(next(each for each in root.iter(f"{SVG}path") if each.get("class") == "deck"))
    per_inch = np.ptp(deck[:, 1]) / 192
    plates = [each for each in root.iter(f"{SVG}rect") if each.get("class") == "plate" and each.get("width") != "18"]
    assert [float(each.get("width", "")) for each in plates] == pytest.approx([6 * per_inch] * 4, abs=0.001)
    assert "deck 192 in long, 80 in wide" in words_of(root)


def test_angles_and_heights_from_the_side(catalog: Catalog) -> None:
    """Ring 1/2 in, tie point 12 in high, 36 in along and 18 in across: atan(11.5 / hypot(36, 18)) = 15.95 degrees."""
    words = words_of(drawn(roadster(), catalog))
    assert {"1, 2: 16°", "3, 4: 16°"} <= set(words)
    assert "centre of gravity 18 in above the deck" in words
    assert "straps 1, 2, 3, 4 are hooked 12 in above the deck" in words


def luminance(colour: str) -> float:
    channels = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return float(np.dot([0.2126, 0.7152, 0.0722], linear))


@pytest.mark.parametrize("colours", [plan_style.LIGHT, plan_style.DARK], ids=["light", "dark"])
@pytest.mark.parametrize("ground", ["paper", "deck"])
def test_marks_stand_out_from_what_they_lie_on(colours: dict[str, str], ground: str) -> None:
    """WCAG 2.1, 1.4.11: 3 to 1."""
    behind = luminance("#ffffff" if colours[ground] == "#fff" else colours[ground])
    for mark in ("ink", "edge", "rail", "joint", "pass", "marginal", "fail", "strap", "zone", "tyre", "pull"):
        one = luminance(colours[mark])
        assert (max(one, behind) + 0.05) / (min(one, behind) + 0.05) >= 3, mark


def test_colours_are_written_out_for_what_knows_no_variables() -> None:
    rules = ".a{fill:var(--ink);stroke-width:2}.b{stroke:var(--edge)}"
    light = ".a{fill:#1d2730;stroke-width:2}.b{stroke:#8a7450}"
    dark = ".a{fill:#e9edf0;stroke-width:2}.b{stroke:#b79f74}"
    assert plan_style.in_both_schemes(rules) == f"{light}@media screen and (prefers-color-scheme:dark){{{dark}}}"
    with pytest.raises(KeyError):
        plan_style.in_both_schemes(".a{fill:var(--no-such)}")


@pytest.mark.parametrize("style", [plan_style.STYLE, ladder.STYLE, axes.STYLE, shapes_svg.STYLE, shapes_svg.BOTH_STYLE])
def test_no_drawing_asks_for_a_variable(style: str) -> None:
    assert "#" in style
    assert "var(" not in style
    assert "--" not in style


def test_hostile_names_stay_words(catalog: Catalog) -> None:
    plan = planned(hostile_names(), catalog)
    for text in (plan_svg(plan), plan_inline(plan)):
        root = ElementTree.fromstring(text)
        found = {each.tag.removeprefix(SVG) for each in root.iter()}
        assert found <= {"svg", "title", "desc", "style", "g", "rect", "path", "circle", "text"}
        assert len(text) < 60_000
        assert "שלום" in text
    assert max(len(word) for word in words_of(ElementTree.fromstring(plan_svg(plan)))) <= 140


def test_the_same_plan_gives_the_same_bytes(catalog: Catalog) -> None:
    assert plan_svg(planned(roadster(), catalog)) == plan_svg(planned(roadster(), catalog))
