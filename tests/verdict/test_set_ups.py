"""Set-ups as a person would write them down from their description alone: checked, planned, and drawn for drilling."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from anchorcalc.catalog.tables import Catalog
from anchorcalc.reading.faults import InputFaults
from anchorcalc.render.draw.plan import DeckPlan, plan_svg
from anchorcalc.render.draw.template import template_of
from anchorcalc.render.draw.template_svg import template_svg
from anchorcalc.result.check import Result
from anchorcalc.rig.resolve import resolve
from anchorcalc.rig.rig import Rig
from anchorcalc.scenario.json_schema import scenario_schema
from anchorcalc.scenario.read import parse_scenario, read_scenario
from anchorcalc.verdict.check import check_rig
from tests.cli.test_commands import run

# A small trailer: one layer of plywood on tubes, the first 8 in from the rear, and a mower of 900 lb.
TRAILER = """
title: {title}
rules: us-road
load:
  name: mower
  weight: 900 lb
  centre_of_gravity: [72 in, 0 in, 18 in]
  wheels: {{fl: [96 in, 16 in], fr: [96 in, -16 in], rl: [48 in, 16 in], rr: [48 in, -16 in]}}
  tie_points:
    front left:  {{at: [100 in, 10 in, 16 in], rated: 2000 lbf}}
    front right: {{at: [100 in, -10 in, 16 in], rated: 2000 lbf}}
    rear left:   {{at: [44 in, 10 in, 16 in], rated: 2000 lbf}}
    rear right:  {{at: [44 in, -10 in, 16 in], rated: 2000 lbf}}
deck:
  width: 52 in
  length: 144 in
  {more}
  layers: [{{panel: softwood-plywood, thickness: 3/4 in, face_grain: along, condition: sound}}]
  layers_joined: loose
  cross_members: {{spacing: {spacing} in, first_at: 8 in, steel: mild, rails: 40 in, {members}}}
  hold_down: {{screw: "#12 self-drilling", spacing: 6 in, first_at: 3 in, heads_on: 1, condition: {screws}}}
mountings:{mountings}
anchors: {{{anchors}}}
straps:
  front left:  {{anchor: fl, to: front left, kind: webbing, width: 2 in, rated: 3333 lbf, hand_tension: 100 lbf}}
  front right: {{anchor: fr, to: front right, kind: webbing, width: 2 in, rated: 3333 lbf, hand_tension: 100 lbf}}
  rear left:   {{anchor: rl, to: rear left, kind: webbing, width: 2 in, rated: 3333 lbf, hand_tension: 100 lbf}}
  rear right:  {{anchor: rr, to: rear right, kind: webbing, width: 2 in, rated: 3333 lbf, hand_tension: 100 lbf}}
"""

PAN = """
  pan:
    ring: {rated: 1500 lbf, base: [8 in, 8 in], base_thickness: 1/8 in, base_steel: mild, pull_height: 0 in}
    fasteners:
      {kind: bolt, size: 5/16-18, grade: SAE 5,
       at: {points: [[3.5 in, 0 in], [-3.5 in, 0 in], [1.75 in, 3 in], [1.75 in, -3 in], [-1.75 in, 3 in],
                     [-1.75 in, -3 in]]}}
    backing: {kind: washers, outside: 1 1/2 in, thickness: 1/8 in, steel: mild}
    cut_out: {circle: 4 1/2 in}
    base_turned: 30 deg
"""
PLATE = """
  two rings:
    ring: {rated: 1500 lbf, base: [4 in, 14 in], base_thickness: 1/4 in, base_steel: mild, pull_height: 1 in}
    fasteners: {kind: bolt, size: 3/8-16, grade: SAE 5, at: {rectangle: [2 1/2 in, 12 in]}}
    backing: {kind: washers, outside: 2 in, thickness: 1/8 in, steel: mild}
"""
WELDED = """
  welded:
    ring: {rated: 1500 lbf, base: [3 in, 3 in], pull_height: 1 in}
    backing: {kind: frame, weld: 3/16 in, length: 6 in}
"""
FOUR = "{name}l: {{at: [{x} in, 20 in], mounting: {mounting}}}, {name}r: {{at: [{x} in, -20 in], mounting: {mounting}}}"
SET_UPS = {
    "rings in pans with a round opening, turned so that their bolts miss a member": {
        "spacing": "12",
        "mountings": PAN + WELDED,
        "anchors": f"{FOUR.format(name='f', x=122, mounting='pan')}, {FOUR.format(name='r', x=20, mounting='welded')}",
    },
    "two rings on one plate in front, welded ones behind, on beams with a header and one of them gone": {
        "mountings": PLATE + WELDED,
        "anchors": "plate: {at: [130 in, 0 in], mounting: two rings}, fl: {on: plate, at: [130 in, 4 in]}, "
        f"fr: {{on: plate, at: [130 in, -4 in]}}, {FOUR.format(name='r', x=24, mounting='welded')}",
        "members": "section: i-S3x5.7, also_at: [142 in], without: [56 in]",
        "more": "nose: {length: 20 in, width: 30 in}",
        "screws": "rusted",
    },
    "a car hauler whose outriggers are welded to the rails, rings over them": {
        "mountings": PAN.replace("30 deg", "0 deg"),
        "anchors": ", ".join(
            f"{end}{side}: {{at: [{x} in, {y} in], mounting: pan}}"
            for end, x in (("f", 128), ("r", 16)) for side, y in (("l", 21.5), ("r", -21.5))
        ),
        "members": "section: tube-2x2x1/8, outriggers: welded, joint: {weld: 3/16 in, length: 6 in}",
    },
}  # fmt: skip


def written(name: str) -> str:
    blank = {"spacing": "16", "members": "section: tube-2x2x1/8", "more": "", "screws": "sound"}
    return TRAILER.format(title=name, **{**blank, **SET_UPS[name]})


@pytest.fixture(scope="module", params=list(SET_UPS), ids=["pans", "plate", "outriggers"])
def found(request: pytest.FixtureRequest) -> tuple[str, Rig, Result]:
    catalog = Catalog()
    rig = resolve(parse_scenario(written(request.param), "it", catalog=catalog), catalog)
    return request.param, rig, check_rig(rig)


def test_it_is_checked(found: tuple[str, Rig, Result]) -> None:
    name, _, result = found
    by_name: dict[str, Any] = {anchor.anchor: anchor for anchor in result.anchors}
    assert set(by_name) == {"fl", "fr", "rl", "rr"}
    assert all(case.held for case in result.cases)
    assert not any(place.conflicts for place in result.sheet.places), name
    if name.startswith("two"):
        keys = {link.key for link in by_name["rl"].links}
        assert keys == {"ring", "weld", "frame_wall", "under_ring"}
        assert any("welds of rings to the frame" in line for line in result.not_checked)
    elif name.startswith("a car"):
        (joint,) = (link for link in by_name["fl"].links if link.key == "member_joint")
        assert "M L / S_w" in joint.formula
        assert "the joints of cross-members and main rails" not in result.not_checked
        assert any(each.what == "weld of an outrigger to its rail" for each in result.assumed)
    else:
        sheet = result.sheet.mountings[0]
        # The opening is round: from a bolt at 3 1/2 in to its rim 3 1/2 - 2 1/4 = 1 1/4 in.
        (rim,) = (each.found for each in sheet.distances if each.what == "hole to the cut-out")
        assert rim == pytest.approx((3.473 - 2.25) * 0.0254, abs=1e-4)  # the nearest stand at √(1.75² + 3²) = 3.473 in


def test_it_is_drawn(found: tuple[str, Rig, Result]) -> None:
    name, rig, result = found
    plan = plan_svg(DeckPlan(rig, result))
    if name.startswith("two"):
        assert plan.count('class="ring-base"') == 3  # one for both rings in front
        return
    if name.startswith("a car"):
        assert plan.count("its outriggers welded to the rails") == 9
        return
    assert plan.count('transform="rotate(-30 ') == 2
    template = template_svg(template_of(rig, "pan", result.sheet.mountings[0], ""))
    assert re.search(r'<circle[^>]*r="57.15"', template)


def test_it_is_reported(found: tuple[str, Rig, Result], tmp_path: Path) -> None:
    page = tmp_path / "page.html"
    done = run("report", "-", "-o", str(page), stdin=written(found[0]))
    assert (done.returncode, done.stderr) == (0 if found[2].verdict == "pass" else 1, "")
    text = page.read_text(encoding="utf-8")
    assert found[2].verdict.upper() in text
    assert all(f">{name}<" in text for name in ("fl", "fr", "rl", "rr"))


def test_an_editor_knows_its_keys(found: tuple[str, Rig, Result]) -> None:
    content = yaml.load(written(found[0]), Loader=yaml.BaseLoader)
    jsonschema.validate(content, scenario_schema(Catalog()))


@pytest.mark.parametrize(
    ("was", "to", "told"),
    [
        ("{circle: 4 1/2 in}", "{circel: 4 in}", "cut_out: unknown key 'circel'; did you mean 'circle'?"),
        ("{circle: 4 1/2 in}", "[4 in]", "cut_out: a length and a width are wanted here: two of them"),
        ("{circle: 4 1/2 in}", "[4 in, 5 x]", "cut_out: '5 x': unknown unit 'x'"),
        ("{circle: 4 1/2 in}", "{circle: 4 in, size: [3 in, 3 in]}", "a cut-out is a circle, or has a size"),
        ("{circle: 4 1/2 in}", "{size: [3 in, 3 in], radius: 2 in}", "no more than half of its narrow side"),
        ("{circle: 4 1/2 in}", "{circle: 7 1/2 in}", "cut_out: a fastener stands inside the cut-out"),
        ("30 deg", "400 deg", "base_turned: '400 deg' is out of range; allowed: from -180 deg to 180 deg"),
        ("condition: sound}\nmount", "condition: rusty}\nmount", "did you mean 'rusted'?"),
        ("first_at: 8 in", "first_at: 8 in, without: [30 in]", "no cross-member stands there to be left out"),
        ("  tie_points:", "  stops: {a: {at: [99 in, 0 in, 8 in], pushes: up}}\n  tie_points:", "'up' is not one of:"),
        (
            "to: front left",
            "to: front left, over: [front left]",
            "`to` with `over`: a strap is hooked to a tie point or",
        ),
        ("fl: {at: [122 in, 20 in], mounting: pan}", "fl: {at: [122 in, 20 in], on: rg}", "no anchor 'rg' is defined"),
    ],
)
def test_what_cannot_be_is_told_in_one_sentence(was: str, to: str, told: str, catalog: Catalog) -> None:
    text = written(next(iter(SET_UPS)))
    assert was in text
    with pytest.raises(InputFaults) as raised:
        parse_scenario(text.replace(was, to, 1), "it", catalog=catalog)
    assert told in str(raised.value)
    assert "1 fault; nothing was computed" in str(raised.value)


# Written from a sentence each: rings along a track, a strap over a tyre, skids against blocks, joists lengthwise.
WHOLE = sorted((Path(__file__).parents[1] / "data" / "set_ups").glob("*.yaml"))


@pytest.mark.parametrize("file", WHOLE, ids=[file.stem for file in WHOLE])
def test_what_was_written_from_a_sentence_is_held_drawn_and_told(file: Path, tmp_path: Path) -> None:
    catalog = Catalog()
    rig = resolve(read_scenario(file, catalog=catalog), catalog)
    result = check_rig(rig)
    assert all(case.held for case in result.cases)
    assert {state.anchor for state in result.states} == set(rig.anchors)
    drawn = plan_svg(DeckPlan(rig, result))
    assert all(name in drawn for name in (*rig.straps, *rig.load.stops))
    page = tmp_path / "page.html"
    assert run("report", str(file), "-o", str(page)).returncode == int(result.verdict != "pass")
    told = page.read_text(encoding="utf-8")
    assert [name for name in (*rig.anchors, *rig.straps, *rig.load.stops) if name not in told] == []


def test_rings_along_a_track_share_it_and_blocks_hold_lengthways_alone() -> None:
    """The strap over the tyre pulls two rings of the left track at once: that one holds less than the right one."""
    catalog = Catalog()
    found = {file.stem: check_rig(resolve(read_scenario(file, catalog=catalog), catalog)) for file in WHOLE}
    by_name = {anchor.anchor: anchor for anchor in found["three_wheeler_on_tracks"].anchors}
    assert by_name["left, rear"].working < 0.6 * by_name["right, rear"].working
    # Blocks ahead and behind hold the skids lengthways, and nothing across.
    pushes = {case.case: sum(stop.push for stop in case.stops) for case in found["generator_on_skids"].cases}
    assert pushes["forward"] > 0 < pushes["rearward"]
    assert pushes["left"] == pytest.approx(0, abs=1) == pushes["right"]
