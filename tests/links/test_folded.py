"""Hat and Z cross-members from a table of one's own, by hand; inches and pounds. us-road, design factor 3."""

from __future__ import annotations

import re
from pathlib import Path

import jsonschema
import numpy as np
import pytest
import yaml

from anchorcalc.catalog.tables import Catalog
from anchorcalc.fitting.sheet import fitting
from anchorcalc.interview.guided import Interview
from anchorcalc.links.beam import _resists
from anchorcalc.links.deck import hold_down_screw
from anchorcalc.links.pull import question_of
from anchorcalc.reading.faults import InputFaults
from anchorcalc.render.draw.plan import DeckPlan, plan_svg
from anchorcalc.render.draw.section import section
from anchorcalc.render.draw.shapes import Patch, box_of
from anchorcalc.rig.resolve import resolve
from anchorcalc.scenario.crosscheck import cross_faults
from anchorcalc.scenario.json_schema import scenario_schema
from anchorcalc.scenario.model import Scenario
from anchorcalc.scenario.read import parse_scenario
from anchorcalc.units import US
from anchorcalc.verdict.check import check_rig
from tests.links import setups
from tests.links.setups import INCH, LBF, UP, Texts, bolted, deck, links, rig_of, screws, setup, shares, strength
from tests.links.test_lengthwise import on_beams
from tests.verdict.test_set_ups import FOUR, PAN, TRAILER, WELDED

OWN = """
- {name: hat, shape: hat, depth: 2 in, width: 2 in, brim: 1 in, thickness: 0.1 in, radius: 0.1 in, source: measured}
- {name: thin hat, shape: hat, depth: 2 in, width: 3 in, brim: 1 in, thickness: 0.04 in, radius: 0.08 in, source: mine}
- {name: foil hat, shape: hat, depth: 2 in, width: 3 in, brim: 1 in, thickness: 0.02 in, radius: 0.08 in, source: mine}
- {name: zed, shape: z, depth: 3 in, width: 1 3/4 in, thickness: 1/8 in, radius: 1/8 in, source: measured}
"""
FRAME = {"ring": screws()["ring"], "backing": {"kind": "frame", "weld": "1/8 in", "length": "4 in"}}
THROUGH = bolted(
    {"kind": "member", "through": "all", "washer": {"outside": "1 in", "thickness": "3/16 in", "steel": "mild"}},
    at={"points": [["0 in", "1.5 in"], ["0 in", "-1.5 in"]]},
)
OVER = (72.0, 12.0)  # a member; 16 and 40 in from rails that stand 56 in apart
ARM, AT_RAIL = 16 * 40 / 56, 40 / 56


def own_catalog(folder: Path, rows: str = OWN) -> Catalog:
    (folder / "members.yaml").write_text(rows)
    return Catalog([folder])


@pytest.fixture(scope="module")
def catalog(tmp_path_factory: pytest.TempPathFactory) -> Catalog:
    return own_catalog(tmp_path_factory.mktemp("own"))


@pytest.fixture(autouse=True)
def _own_rows(catalog: Catalog, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(setups, "CATALOG", catalog)


def figures(section: str, mounting: Texts, key: str) -> dict[str, float]:
    (link,) = (each for each in strength(deck(section=section), mounting, OVER).links if each.key == key)
    return {each.symbol: each.value for each in link.figures}


def test_a_stocky_hat_bends_as_its_whole_section() -> None:
    # Lines: crown 1.6 in, four bends of π / 2 · 0.15, webs 1.6, brims 0.9 each; w/t 16 and 9, h/t 16: all effective.
    # Centre 1.0252 in below the crown, I = 0.1 · 4.5021, S = 0.4392 in³. Shear 0.6 · 36 000 · 2 · 1.6 · 0.1 = 6912 lb.
    bent, sheared = 36_000 * 0.43915 / ARM, 6912 / AT_RAIL
    both = 1 / np.hypot(1 / bent, 1 / sheared), 1 / np.hypot(1.67 / bent, 1.6 / sheared)
    shares(links(deck(section="hat"), FRAME, OVER)["under_ring"], *both, within=1e-3)
    # 4 in beyond the rails shear takes more of it: F S / 4, and 60 / 56 of the lift at the rail.
    bent, sheared = 36_000 * 0.43915 / 4, 6912 * 56 / 60
    both = 1 / np.hypot(1 / bent, 1 / sheared), 1 / np.hypot(1.67 / bent, 1.6 / sheared)
    shares(links(deck(section="hat"), FRAME, (72.0, 32.0))["under_ring"], *both, within=1e-3)
    # Cut by a well between its rails it holds nothing.
    well = {"name": "well", "corner": ["68 in", "-10 in"], "opposite": ["76 in", "-4 in"]}
    assert links(deck(section="hat", wheel_wells=[well]), FRAME, OVER)["under_ring"].breaking == 0
    # Right over a rail nothing bends it; all of the lift shears it.
    shares(links(deck(section="hat"), FRAME, (72.0, 28.0))["under_ring"], 6912, 6912 / 1.6, within=1e-3)


def test_a_thin_hat_holds_less_than_its_whole_section_would() -> None:
    # Its whole section has 0.2101 in³, 662 lb here. Of its crown's 2.76 in 0.648 are effective, of its brims' 0.92 in
    # under pressure 0.639 (w/t 23, λ = 1.052 / 0.6557 · 23 · √(36 / 29 000) = 1.300): S_e = 0.1661 in³, as fibres come
    # to in tests/mechanics. The brims spread: K = 0.02074, σ = 69.9 ksi, λ 0.7175, χ = 0.9512. Shear 0.6 · 36 000 · 2 ·
    # 1.76 · 0.04 = 3041 lb.
    bent, sheared = 36_000 * 0.9512 * 0.16611 / ARM, 3041 / AT_RAIL
    both = 1 / np.hypot(1 / bent, 1 / sheared), 1 / np.hypot(1.67 / bent, 1.6 / sheared)
    assert both[0] < 0.8 * 662
    shares(links(deck(section="thin hat"), FRAME, OVER)["under_ring"], *both, within=1e-3)


def test_a_zed_is_held_sideways_by_nothing() -> None:
    # S = 0.7172 in³; over 56 in F_cre = π² · 29 000 · 3 · 0.2002 / (2 · 0.7172 · 56²) = 38.22 ksi, F = 29.54 ksi; flat
    # 12 t wide, all effective. Free to give way sideways 0.4159 of that: M = 8.809 kip in. Shear 0.6 · 36 · 2.5 / 8.
    bent, sheared = 8808.5 / ARM, 6750 / AT_RAIL
    both = 1 / np.hypot(1 / bent, 1 / sheared), 1 / np.hypot(1.67 / bent, 1.6 / sheared)
    shares(links(deck(section="zed"), FRAME, OVER)["under_ring"], *both, within=1e-3)


def test_a_zed_over_uneven_beams_turns_over_in_the_longest_bay() -> None:
    # Of 40 and 56 in the 56, wherever the ring stands: as above 8.809 kip in.
    on = on_beams(0.0, 40.0, 96.0)
    on["cross_members"]["section"] = "zed"
    rig = rig_of(setup(on, FRAME, (20.0, 6.0)))
    found = _resists(question_of(rig.anchors["ring 1"], np.array(UP), rig.basis))
    assert found.low / LBF / INCH == pytest.approx(8808.5, rel=1e-3)
    assert found.allowable == pytest.approx(found.low / 1.67)


def test_bolts_and_rings_on_their_faces() -> None:
    # Crown, washers 1 in on 2 in, two bolts 3 in apart: half of 36 000 · 0.01 · (2 · 2 / 0.5 + 4 / √0.5) for both.
    assert figures("hat", THROUGH, "crown")["F"] / LBF == pytest.approx(1229.1, rel=1e-3)
    for section_, key, begins in (("hat", "crown", "0.5 F_y t²"), ("tube-2x2x1/8", "tube_wall", "F_y t²")):
        (link,) = (each for each in strength(deck(section=section_), THROUGH, OVER).links if each.key == key)
        assert link.formula.startswith(begins)
    held = links(deck(section="hat"), THROUGH, OVER)
    assert held["crown"].code == pytest.approx(held["crown"].breaking / 1.5)
    assert not held.keys() & {"leg", "tube_wall", "tube_bearing"}
    # A base 4 1/2 in wide over the whole crown, β 0.85: half of 360 · (2 · 2.25 / 0.15 + 4 / √0.15).
    assert figures("hat", FRAME, "frame_wall")["F"] / LBF == pytest.approx(7259, rel=1e-3)
    # Flange of the Z as the leg of an angle: l = (4 · 0.75 + 1.25 · 0.875 + 3) / 2 = 3.547 in, 0.25 l t² F_y / 0.75.
    assert figures("zed", THROUGH, "leg")["F"] / LBF == pytest.approx(665.0, rel=1e-3)
    # Nut through the flange: 1.5 · 0.1 · 3/4 · 58 000.
    most = 1.5 * 0.1 * 0.75 * 58_000 / held["pull_over"].breaking
    assert 0.5 < most < 0.7  # of two bolts, with what pries
    assert held["crown"].breaking * most == pytest.approx(1229.1, rel=1e-3)


def test_deck_screws_and_welds_know_how_thin_it_is() -> None:
    rig = rig_of(setup(deck(section="foil hat"), FRAME, OVER))
    low, _, what = hold_down_screw(question_of(rig.anchors["ring 1"], np.array(UP), rig.basis))
    assert (what, low / LBF) == ("thread out of the steel", pytest.approx(0.85 * 0.02 * 0.216 * 58_000, rel=1e-3))
    # Sheet beside 4 in of weld: 0.6 · 58 000 · 0.04 · 4 = 5568 lb; daily 0.75 · 58 000 · 0.04 · 4 / 3.05 = 2282 lb.
    on = deck(section="thin hat")
    on["cross_members"]["joint"] = {"weld": "1/8 in", "length": "4 in"}
    held = links(on, FRAME, OVER)
    shares(held["member_joint"], 5568 / AT_RAIL, 2282 / AT_RAIL, within=1e-3)
    shares(held["weld"], 5568, 2282, within=1e-3)


# --- as a person would write it -------------------------------------------------------------------------------

HATS = {"section": "hat, deck_on: crown, joint: {weld: 1/8 in, length: 3 in}", "mounting": "pan"}
ZEDS = {"section": "zed", "mounting": "welded"}


def written(section: str, mounting: str) -> str:
    x = {"pan": (128, 16), "welded": (136, 24)}[mounting]
    anchors = ", ".join(FOUR.format(name=end, x=at, mounting=mounting) for end, at in zip("fr", x, strict=True))
    mountings = {"pan": PAN.replace("30 deg", "0 deg"), "welded": WELDED}[mounting]
    blank = {"title": "small hauler on folded cross-members", "spacing": "16", "more": "", "screws": "sound"}
    return TRAILER.format(**blank, mountings=mountings, anchors=anchors, members=f"section: {section}")


@pytest.mark.parametrize("kind", [HATS, ZEDS], ids=["hats", "zeds"])
def test_it_is_checked_and_drawn(kind: dict[str, str], catalog: Catalog) -> None:
    text = written(**kind)
    rig = resolve(parse_scenario(text, "it", catalog=catalog), catalog)
    result = check_rig(rig)
    assert all(case.held for case in result.cases)
    keys = {link.key for anchor in result.anchors for link in anchor.links}
    assert keys >= ({"hold_down", "member_beside", "member_joint"} if kind is HATS else {"under_ring", "weld"})
    told = {each.what: each.value for each in result.assumed}
    assert "face of the hats that the deck lies on" not in told
    assert ("Z cross-members" in told) == (kind is ZEDS)
    assert any("members.yaml" in each for each in rig.own_rows)
    assert plan_svg(DeckPlan(rig, result)).count('class="member"') > 9
    jsonschema.validate(yaml.load(text, Loader=yaml.BaseLoader), scenario_schema(catalog))


@pytest.mark.parametrize(("name", "below"), [("hat", [(-0.5, 0), (1, 1.5)]), ("zed", [(0.125 / 1.75 - 1, 0)])])
def test_their_sections_are_drawn(name: str, below: list[tuple[float, float]]) -> None:
    """What lies at the foot beside the webs, from the left edge of the face and by its width."""
    rig = rig_of(setup(deck(section=name), THROUGH, OVER))
    drawn = section(rig.anchors["ring 1"], fitting(rig).mountings[0], US)
    face, *steel = [box_of(shape) for shape in drawn if isinstance(shape, Patch) and shape.layer == "steel"]
    wide, thick = face[2] - face[0], face[3] - face[1]
    feet = [box for box in steel if box[1] == pytest.approx(0) and box[3] == pytest.approx(thick)]
    assert [((box[0] - face[0]) / wide, (box[2] - face[0]) / wide) for box in feet] == [
        pytest.approx(each, abs=1e-9) for each in below
    ]


def test_a_face_that_nobody_gave_is_told(catalog: Catalog) -> None:
    rig = rig_of(setup(deck(section="hat"), FRAME, OVER))
    assert any(each.what.startswith("face of the hats") and each.value == "crown" for each in rig.assumed_parts)


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"deck_on": "brims"}, "a deck on the brims of hats is not reckoned yet: its screws stand off the middle"),
        ({"section": "zed", "deck_on": "crown"}, "deck_on is a word for hat sections"),
        ({"steel": "6061-T6"}, "hat and Z sections are reckoned of steel alone"),
    ],
)
def test_what_they_do_not_go_with(change: Texts, told: str, catalog: Catalog) -> None:
    texts = setup(deck(section="hat"), FRAME, OVER)
    texts["deck"]["cross_members"] |= change
    (found,) = cross_faults(Scenario.model_validate(texts), catalog)
    assert told in found[1]


@pytest.mark.parametrize(
    ("was", "to", "told"),
    [
        ("radius: 0.1 in,", "", "of a section of shape hat give radius and brim: S comes of them and of the steel"),
        ("brim: 1 in, thickness: 0.1 in", "thickness: 0.1 in", "shape hat give radius and brim"),
        ("radius: 1/8 in", "radius: 1/8 in, brim: 1 in", "of a section of shape z give radius alone"),
        ("radius: 1/8 in", "radius: 1/8 in, S: 1 in3", "of a section of shape z give radius alone"),
        ("shape: z", "shape: angle", "of a section of shape angle give S; radius and brim are words for hat and z"),
        ("radius: 0.1 in", "radius: 0.9 in", "radius and thickness leave no flat between its bends"),
        (
            "depth: 3 in, width: 1 3/4 in, thickness: 1/8 in",
            "depth: 19 in, width: 4 in, thickness: 0.03 in",
            "of a web",
        ),
        ("depth: 2 in, width: 2 in", "depth: 6 in, width: 2 in", "a hat stiffer upright than sideways may turn over"),
    ],
)
def test_a_row_that_cannot_be_is_told(was: str, to: str, told: str, tmp_path: Path) -> None:
    assert was in OWN
    with pytest.raises(InputFaults, match=re.escape(told)) as raised:
        own_catalog(tmp_path, OWN.replace(was, to, 1))
    assert "1 fault" in str(raised.value)


def test_start_asks_for_the_face_of_a_hat(catalog: Catalog) -> None:
    asked = Interview(catalog, {"member section": "hat"})
    assert "hat face" in {row.key for row in asked.rows()}
    assert "hat face" not in {row.key for row in Interview(catalog, {"member section": "zed"}).rows()}
    (row,) = (row for row in asked.rows() if row.key == "hat face")
    with pytest.raises(ValueError, match="brims of hats is not reckoned yet"):
        asked.take(row, "brims")
    assert asked.take(row, "crown") == "crown"
