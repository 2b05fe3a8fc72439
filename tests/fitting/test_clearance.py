"""Clearance: exact distances by hand and by brute force; conflicts named; nearest clear places really clear."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from anchorcalc.catalog.tables import Catalog
from anchorcalc.fitting.clearance import Part, Rule, conflicts, nearest_shift, places, rules_of, tightest
from anchorcalc.mechanics.outline import Box, Edge, Faces, Obstacle, barred_shifts, deck_edges
from anchorcalc.result.fitting import AnchorPlace, Conflict
from tests.conftest import Texts, edited, rig_of, roadster

INCH = 0.0254
CATALOG = Catalog()
OWN = """
- {name: hat, shape: hat, depth: 2 in, width: 2 in, brim: 1 in, thickness: 0.1 in, radius: 0.15 in, source: measured}
- {name: z, shape: z, depth: 3 in, width: 1.75 in, thickness: 0.125 in, radius: 0.25 in, source: measured}
"""
DISC = Part("disc", Box.about((0.0, 0.0)), 1.0)
SQUARE = Part("square", Box.about((0.0, 0.0), (2.0, 2.0)))


def gap(part: Part, obstacle: Obstacle) -> float:
    return Rule(part, obstacle, "").gap


def found(texts: Texts, anchor: str = "rear left") -> AnchorPlace:
    return next(place for place in places(rig_of(texts, CATALOG)) if place.anchor == anchor)


def moved(x: str, y: str = "34 in", mounting: str = "plated") -> Texts:
    """The demo with its rear left anchor elsewhere."""
    return edited(roadster(), "anchors", "rear left", value={"at": [x, y], "mounting": mounting})


def zone(name: str, x0: float, y0: float, x1: float, y1: float) -> Texts:
    """A rectangle of the deck by two corners in inches."""
    return {"name": name, "corner": [f"{x0} in", f"{y0} in"], "opposite": [f"{x1} in", f"{y1} in"]}


def named(place: AnchorPlace, part: str) -> dict[str, Conflict]:
    return {conflict.obstacle: conflict for conflict in place.conflicts if conflict.part == part}


class TestDistances:
    @pytest.mark.parametrize(
        ("part", "obstacle", "distance"),
        [
            (DISC, Box((4.0, 9.0), (3.0, 9.0)), 4.0),  # 3-4-5 to the corner, less the radius
            (DISC, Box((3.0, 9.0), (-9.0, 9.0)), 2.0),
            (DISC, Box((-2.0, 9.0), (-3.0, 5.0)), -3.0),  # the middle 2 inside, and the radius
            (SQUARE, Box((4.0, 9.0), (5.0, 9.0)), 5.0),  # 3-4-5 from corner to corner
            (SQUARE, Box((0.5, 9.0), (-9.0, 9.0)), -0.5),
            (SQUARE, Box((1.0, 9.0), (-9.0, 9.0)), 0.0),
            (SQUARE, Box((0.25, 0.25), (-math.inf, math.inf)), -0.75),  # straddles a joint
            (DISC, Edge((1.0, 0.0), 3.0), 2.0),
            (SQUARE, Edge((0.6, 0.8), 2.0), 0.6),  # corner (1, 1) is 1.4 along the normal
            (DISC, Faces((-7.0, 0.5, 8.0), 2.0), 0.5),
            (DISC, Faces((-7.0, 4.0), 2.0), -3.0),
        ],
    )
    def test_by_hand(self, part: Part, obstacle: Obstacle, distance: float) -> None:
        assert gap(part, obstacle) == pytest.approx(distance)

    @pytest.mark.parametrize(("normal", "span"), [(0.6, (0.5, math.inf)), (-0.6, (-math.inf, -0.5))])
    def test_shifts_towards_a_slanted_edge(self, normal: float, span: tuple[float, float]) -> None:
        # A square of 2 whose corner is 0.6 short of the edge and has to keep 0.3: a shift of 0.3 / 0.6 uses that up.
        assert barred_shifts(Box.about((0, 0), (2, 2)), 0.0, Edge((normal, 0.8), 2.0), 0.3, 0) == [pytest.approx(span)]

    @given(
        own=st.tuples(*[st.floats(-3, 3)] * 2, *[st.floats(0, 2)] * 2),
        other=st.tuples(*[st.floats(-3, 3)] * 2, *[st.floats(0.1, 3)] * 2),
        radius=st.floats(0, 1),
    )
    def test_between_rectangles_by_brute_force(
        self, own: tuple[float, ...], other: tuple[float, ...], radius: float
    ) -> None:
        core, obstacle = (Box.about((x, y), (length, width)) for x, y, length, width in (own, other))
        # Along an outline the distance changes by no more than the way, so sampled distances err by a step at most.
        sampled = np.linalg.norm(_outline(core)[:, None] - _outline(obstacle)[None], axis=2).min()
        distance = gap(Part("", core, radius), obstacle)
        if distance > -radius:
            assert distance == pytest.approx(sampled - radius, abs=0.06)
        else:
            assert max(core.x[0], obstacle.x[0]) <= min(core.x[1], obstacle.x[1])
            assert max(core.y[0], obstacle.y[0]) <= min(core.y[1], obstacle.y[1])


def _outline(box: Box, count: int = 60) -> np.ndarray:
    """Points along the outline of a rectangle, (4 count, 2)."""
    t = np.linspace(0, 1, count)
    (x0, x1), (y0, y1) = box.spans
    across, along = x0 + t * (x1 - x0), y0 + t * (y1 - y0)
    flat = [np.column_stack([across, np.full(count, y)]) for y in (y0, y1)]
    upright = [np.column_stack([np.full(count, x), along]) for x in (x0, x1)]
    return np.vstack([*flat, *upright])


class TestDeckOutline:
    def test_width_between_the_ends_of_a_tapered_deck(self) -> None:
        deck = rig_of(edited(roadster(), "deck", "width_front", value="76 in"), CATALOG).floor
        assert deck.half_width_at(0.0) == pytest.approx(40 * INCH)
        assert deck.half_width_at(96 * INCH) == pytest.approx(39 * INCH)
        assert deck.half_width_at(192 * INCH) == pytest.approx(38 * INCH)

    def test_side_edges_pass_through_the_corners(self) -> None:
        deck = rig_of(edited(roadster(), "deck", "width_front", value="70 in"), CATALOG).floor
        edges = dict(deck_edges(deck.length, deck.width, deck.width_front))
        for x in (0.0, deck.length):
            corner = Part("corner", Box.about((x, deck.half_width_at(x))))
            assert gap(corner, edges["left edge"]) == pytest.approx(0.0, abs=1e-12)
        assert all(math.hypot(*edge.normal) == pytest.approx(1.0) for edge in edges.values())

    def test_a_taper_brings_the_side_nearer(self) -> None:
        """The front left plate reaches 37 in at 175 in; a side that comes in to 36 in cuts it by about 1.4 in."""
        square = found(roadster(), "front left")
        tapered = found(edited(roadster(), "deck", "width_front", value="71 in"), "front left")
        assert square.conflicts == ()
        cosine = 192 / math.hypot(192, 4.5)
        expected = (40 - 4.5 * 175 / 192 - 37) * cosine * INCH
        assert named(tapered, "plate")["left edge"].gap == pytest.approx(expected)
        assert tapered.to_left_edge == pytest.approx((40 - 4.5 * 172 / 192 - 34) * INCH)
        assert tapered.to_right_edge == pytest.approx((40 - 4.5 * 172 / 192 + 34) * INCH)


class TestNamedConflicts:
    """The demo's members are 2 in wide with their middles at 8, 24, 40 … in."""

    def test_the_demo_is_clear(self) -> None:
        for anchor in ("front left", "front right", "rear left", "rear right"):
            place = found(roadster(), anchor)
            assert place.conflicts == ()
            assert place.clear_along == place.at[0]
            assert place.clear_across == place.at[1]

    def test_a_plate_over_a_member(self) -> None:
        place = found(moved("19 in"))  # plate 16 to 22; members' faces 7 to 9 and 23 to 25
        assert place.conflicts == ()
        place = found(moved("21 in"))  # plate 18 to 24, an inch into the face
        conflict = named(place, "plate")["cross-member 2 from the rear"]
        assert conflict.gap == pytest.approx(-1 * INCH)
        assert conflict.kind == "overlaps"
        assert place.clear_along == pytest.approx(20 * INCH)
        assert place.clear_across is None

    def test_washers_by_their_radius(self) -> None:
        """Bolts at 21 ± 1 5/8 in with 1 1/2 in washers reach 23.375 in: 3/8 in over the face."""
        place = found(moved("21 in", mounting="bolts and washers"))
        conflict = named(place, "washers")["cross-member 2 from the rear"]
        assert conflict.gap == pytest.approx(-0.375 * INCH)
        assert (conflict.count, conflict.of) == (2, 4)
        assert place.clear_along == pytest.approx((21 - 0.375) * INCH)

    def test_screws_meet_a_member_only_if_they_come_through(self) -> None:
        texts = moved("22 in", mounting="four screws")
        assert found(texts).conflicts == ()
        longer = edited(texts, "mountings", "four screws", "fasteners", "length", value="2 in")
        assert named(found(longer), "holes")["cross-member 2 from the rear"].gap < 0

    @pytest.mark.parametrize(("x", "misses"), [("24 in", 0.0), ("25 in", 0.25), ("30 in", 5.25)])
    def test_bolts_meant_for_a_member_must_meet_it(self, x: str, misses: float) -> None:
        """A half-inch bolt lies on a face 2 in wide up to 3/4 in from its middle; its plain washer of 1 3/8 in up to
        0.196 in, between walls of 0.1163 in."""
        texts = moved(x)
        texts["mountings"]["plated"]["fasteners"]["at"] = {"points": [["0 in", "1 5/8 in"], ["0 in", "-1 5/8 in"]]}
        texts["mountings"]["plated"]["backing"] = {"kind": "member", "through": "all", "walls": "one"}
        place = found(texts)
        if not misses:
            assert place.conflicts == ()
            return
        (conflict,) = place.conflicts
        assert conflict.kind == "misses"
        assert conflict.gap == pytest.approx(-misses * INCH)
        assert place.clear_along == pytest.approx((25 - 0.1163 - 0.6875) * INCH)
        assert place.clear_across is None

    def test_bolts_beside_the_member_keep_their_washers_clear_of_it(self) -> None:
        texts = moved("25 5/8 in")
        washer = {"outside": "1 1/2 in", "thickness": "1/8 in", "steel": "mild"}
        texts["mountings"]["plated"]["backing"] = {"kind": "member", "through": "rear", "washer": washer}
        assert found(texts).conflicts == ()  # rear bolts at 24 in, front ones at 27 1/4: 1 1/2 in from the face
        wide = edited(texts, "mountings", "plated", "backing", "washer", "outside", value="5 in")
        assert named(found(wide), "washers")["cross-member 2 from the rear"].gap == pytest.approx(-0.25 * INCH)

    @pytest.mark.parametrize(
        ("section", "bolt", "washer", "walls", "off", "over"),
        [
            ("channel-3x4.1", "5/16-18", "1 1/2 in", "one", 0.0, 0.75 - (1.41 / 2 - 0.17)),  # 0.215 in
            ("channel-3x4.1", "5/16-18", "1 in", "one", 0.0, None),  # 0.035 in to spare
            ("channel-3x4.1", "5/16-18", "1 in", "one", 0.1, 0.065),  # the web may be on the nearer side
            ("channel-3x4.1", "5/16-18", None, "one", 0.0, None),  # a plain one of 7/8 in
            ("channel-3x4.1", "5/8-11", "3/4 in", "one", 0.0, 0.938 / 3**0.5 - 0.535),  # the nut's corners
            ("angle-1.5x1.5x1/8", "5/16-18", "1 1/4 in", "one", 0.0, None),  # 5/8 in, just
            ("angle-1.5x1.5x1/8", "5/16-18", "1 1/2 in", "one", 0.0, 0.125),
            ("tube-2x2x1/8", "1/2-13", "2 in", "one", 0.0, 0.1163),  # its wall
            ("tube-2x2x1/8", "1/2-13", "2 in", "both", 0.0, None),  # under the lower wall
            ("i-S3x5.7", "5/16-18", "1 in", "one", 0.0, 0.5),  # the web under the bolt
            ("hat", "5/16-18", "1 1/2 in", "one", 0.0, 0.75 - (1 - 0.1 - 0.15)),
            ("hat", "5/16-18", "1 5/8 in", "one", 0.0, 0.0625),
            ("z", "5/16-18", "1 1/4 in", "one", 0.0, 0.625 - (1.75 / 2 - 0.125 - 0.25)),
        ],
    )
    @pytest.mark.parametrize("lengthwise", [False, True])
    def test_nut_and_washer_under_a_face_clear_its_webs(
        self, section: str, bolt: str, washer: str | None, walls: str, off: float, over: float | None,
        lengthwise: bool, tmp_path: Path,
    ) -> None:  # fmt: skip
        """Half of the washer, or a nut's width across flats over √3, against half of the face less web and bend."""
        texts = moved(f"{24 + off} in")
        texts["deck"]["cross_members"] = {"section": section, "spacing": "16 in", "first_at": "8 in", "steel": "mild"}
        points = [["0 in", "1 5/8 in"], ["0 in", "-1 5/8 in"]]
        if lengthwise:
            texts["deck"]["cross_members"] |= {"run": "lengthwise", "spacing": "20 in", "first_at": "6 in"}
            texts["anchors"]["rear left"]["at"] = ["24 in", f"{26 + off} in"]
            points = [each[::-1] for each in points]
        backing = {"kind": "member", "through": "all", "walls": walls}
        if washer is not None:
            backing["washer"] = {"outside": washer, "thickness": "0.112 in", "steel": "mild-washer"}
        if not section.startswith("tube"):
            del backing["walls"]
        texts["mountings"]["plated"] |= {
            "backing": backing,
            "fasteners": {"kind": "bolt", "size": bolt, "grade": "SAE 5", "at": {"points": points}},
        }
        (tmp_path / "members.yaml").write_text(OWN, encoding="utf-8")
        place = next(each for each in places(rig_of(texts, Catalog((tmp_path,)))) if each.anchor == "rear left")
        met = [each for each in place.conflicts if each.obstacle == "the web of the cross-member"]
        if over is None or over < 1e-9:
            assert met == []
            return
        (conflict,) = met
        assert conflict.gap == pytest.approx(-over * INCH, abs=1e-5)
        assert (conflict.count, conflict.of, conflict.kind) == (2, 2, "overlaps")
        assert ("nobody says" in conflict.remedy) == (off > 0)

    def test_a_bridge_needs_a_member_on_both_sides(self) -> None:
        assert found(moved("16 in", mounting="bridge bars")).conflicts == ()
        place = found(moved("4 in", mounting="bridge bars"))
        (conflict,) = place.conflicts
        assert conflict.kind == "misses"
        # The rear bolts' rear faces, 1 5/8 and 1/4 in behind the middle, against the front face at 9 in.
        assert conflict.gap == pytest.approx((4 - 1.875 - 9) * INCH)
        assert place.clear_along == pytest.approx(10.875 * INCH)

    def test_bolts_of_a_bridge_stand_in_one_bay(self) -> None:
        """At 24 in the pattern straddles a member without touching it: the bars could take half of the bolts."""
        place = found(moved("24 in", mounting="bridge bars"))
        (conflict,) = place.conflicts
        assert "bay between two cross-members" in conflict.obstacle
        assert place.clear_along == pytest.approx(26.875 * INCH)

    def test_holes_keep_four_diameters_from_edges_and_joints(self) -> None:
        texts = edited(moved("16 in", "37 in"), "mountings", "plated", "backing", "size", value=["6 in", "4 1/2 in"])
        conflict = named(found(texts), "holes")["left edge"]
        assert conflict.gap == pytest.approx((40 - 37 - 1.625) * INCH)
        assert conflict.wanted == pytest.approx(2 * INCH)
        assert conflict.kind == "too near"
        texts = edited(moved("16 in"), "deck", "layers", 1, "joints_across", value=["19 in"])
        place = found(texts)
        assert named(place, "holes")["joint 1 of layer 2, across"].gap == pytest.approx(1.375 * INCH)
        assert "plate" not in {conflict.part for conflict in place.conflicts}  # it ends at the joint

    def test_what_presses_on_a_layer_does_not_straddle_its_joints(self) -> None:
        top = found(edited(moved("16 in"), "deck", "layers", 0, "joints_across", value=["16 in"]))
        assert {conflict.part for conflict in top.conflicts} == {"base", "holes"}
        bottom = found(edited(moved("16 in"), "deck", "layers", 1, "joints_along", value=["34 in"]))
        assert {conflict.part for conflict in bottom.conflicts} == {"plate", "holes"}
        assert bottom.clear_across is not None
        # The holes decide: 1 5/8 in to the pattern and 2 in to the joint, out of which the plate has moved as well.
        assert abs(bottom.clear_across - 34 * INCH) == pytest.approx(3.625 * INCH)

    def test_a_cut_out_does_not_cross_a_member(self) -> None:
        texts = moved("24 in", mounting="four screws")
        texts["mountings"]["four screws"]["cut_out"] = ["2 in", "2 in"]
        assert named(found(texts), "cut-out")["cross-member 2 from the rear"].gap == pytest.approx(-2 * INCH)

    def test_zones_and_wheel_wells(self) -> None:
        place = found(edited(moved("16 in"), "deck", "no_go", value=[zone("brake line", 10, 36, 30, 38)]))
        assert named(place, "plate")["zone brake line"].gap == pytest.approx(-1 * INCH)
        assert place.clear_across == pytest.approx(33 * INCH)
        place = found(edited(moved("16 in"), "deck", "wheel_wells", value=[zone("left", 0, 40, 30, 36)]))
        assert named(place, "holes")["wheel well left"].wanted == pytest.approx(2 * INCH)
        assert place.clear_across == pytest.approx((36 - 2 - 1.625) * INCH)

    def test_nothing_is_found_where_nothing_is_clear(self) -> None:
        place = found(edited(roadster(), "deck", "no_go", value=[zone("tank", -10, -50, 300, 50)]))
        assert place.clear_along is None
        assert place.clear_across is None

    def test_the_tightest_rule_is_named_where_none_is_broken(self) -> None:
        place = found(moved("16 in", "36 1/4 in", "bolts and washers"))
        assert place.conflicts == ()
        assert (place.tightest.part, place.tightest.obstacle) == ("holes", "left edge")
        assert place.tightest.spare == pytest.approx((40 - 36.25 - 1.625 - 2) * INCH)


class TestNeighbours:
    """Two anchors on one line across: the parts of the one lie where the other's should."""

    @staticmethod
    def beside(mounting: str, y: str, second: str | None = None, **backing: str) -> Texts:
        texts = moved("16 in", "34 in", mounting)
        texts["mountings"][mounting]["backing"].update(backing)
        texts["anchors"]["second"] = {"at": ["16 in", y], "mounting": second or mounting}
        return texts

    def test_plates_that_overlap(self) -> None:
        texts = self.beside("plated", "29 1/2 in")  # plates 6 in wide, 4 1/2 in apart
        for anchor, other in (("rear left", "second"), ("second", "rear left")):
            conflict = named(found(texts, anchor), "plate")[f"plate of anchor {other}"]
            assert conflict.gap == pytest.approx(-1.5 * INCH)
            assert conflict.kind == "overlaps"
        assert found(texts, "second").clear_across == pytest.approx(28 * INCH)
        assert found(self.beside("plated", "28 in")).conflicts == ()

    def test_washers_that_overlap(self) -> None:
        """Bolts of two bases 4 1/2 in apart stand 1 1/4 in apart."""
        texts = self.beside("bolts and washers", "29 1/2 in", outside="1 1/2 in")
        conflict = named(found(texts), "washers")["washers of anchor second"]
        assert conflict.gap == pytest.approx(-0.25 * INCH)
        assert found(self.beside("bolts and washers", "29 1/2 in", outside="1 1/4 in")).conflicts == ()

    def test_a_plate_under_the_washers_of_the_next(self) -> None:
        texts = self.beside("plated", "29 1/2 in", "bolts and washers")  # to 31 in and from 31 7/8 in
        assert named(found(texts), "plate")["washers of anchor second"].gap == pytest.approx(-0.875 * INCH)
        assert named(found(texts, "second"), "washers")["plate of anchor rear left"].kind == "overlaps"

    def test_bars_that_overlap_beside_and_on_the_member_between(self) -> None:
        assert found(self.beside("bridge bars", "28 in")).conflicts == ()  # bars 2 in wide on rows 2 3/4 in apart
        close = found(self.beside("bridge bars", "29 1/2 in"))
        assert named(close, "bar")["bar of anchor second"].gap == pytest.approx(-0.75 * INCH)
        texts = self.beside("bridge bars", "34 in")
        texts["anchors"]["second"]["at"] = ["32 in", "34 in"]  # the next bay: both bars rest on the member at 24 in
        assert named(found(texts), "bar")["bar of anchor second"].kind == "overlaps"

    def test_a_nut_is_wider_than_its_bolt(self) -> None:
        """Bolts with nuts on the member itself beside a plate: 0.7125 in across the half-inch nut's face."""
        texts = self.beside("plated", "29 in")
        texts["mountings"]["through"] = {
            **texts["mountings"]["plated"], "backing": {"kind": "member", "through": "all", "walls": "one"},
        }  # fmt: skip
        texts["anchors"]["second"]["mounting"] = "through"
        # its bolts at 30 5/8 in, the plate from 31 in: 3/8 in to the middle of the bolt, 0.356 in taken by the nut
        assert found(texts).conflicts == ()
        nearer = edited(texts, "anchors", "second", "at", value=["16 in", "29.1 in"])
        assert named(found(nearer), "plate")["fasteners of anchor second"].gap == pytest.approx(-0.08125 * INCH)

    def test_the_base_of_the_next_ring_is_in_the_way_above_the_deck_only(self) -> None:
        texts = self.beside("four screws", "30 in")
        assert set(named(found(texts), "base")) == {"base of anchor second"}
        texts = self.beside("plated", "29 1/4 in", "four screws")  # bases clear; the plate reaches under the other's
        assert found(texts).conflicts == ()

    def test_a_neighbour_far_away_changes_nothing(self) -> None:
        texts = self.beside("plated", "-34 in")
        texts["anchors"]["second"]["at"][0] = "36 in"
        assert found(texts).conflicts == ()


# --- properties -------------------------------------------------------------------------------------------------

MOUNTINGS = st.sampled_from(["four screws", "bolts and washers", "plated", "bridge bars"])
INCHES = st.floats(-30, 30)


@st.composite
def situations(draw: st.DrawFn) -> list[Rule]:
    """The rules of one anchor of the demo, anywhere on the deck, with joints, a zone and a wheel well drawn."""
    mounting = draw(MOUNTINGS)
    texts = moved(f"{draw(st.floats(5, 180))} in", f"{draw(INCHES)} in", mounting)
    layer = texts["deck"]["layers"][draw(st.integers(0, 1))]
    layer["joints_across"] = [f"{x} in" for x in draw(st.lists(st.floats(10, 180), max_size=2))]
    layer["joints_along"] = [f"{y} in" for y in draw(st.lists(INCHES, max_size=1))]
    for kind in ("no_go", "wheel_wells"):
        x, y = draw(st.floats(0, 150)), draw(INCHES)
        texts["deck"][kind] = [zone("A", x, y, x + 9, y - 7)]
    texts["deck"]["width_front"] = f"{draw(st.floats(70, 90))} in"
    rig = rig_of(texts, CATALOG)
    return list(rules_of(rig.anchors["rear left"], rig.basis.shelf))


def shifted_part(part: Part, dx: float, dy: float) -> Part:
    return replace(part, core=shifted_box(part.core, dx, dy))


def shifted_box(box: Box, dx: float, dy: float) -> Box:
    (x0, x1), (y0, y1) = box.spans
    return Box((x0 + dx, x1 + dx), (y0 + dy, y1 + dy))


def shifted(rule: Rule, dx: float, dy: float) -> Rule:
    """The rule with its part and obstacle moved by one vector."""
    obstacle = rule.obstacle
    if isinstance(obstacle, Box):
        obstacle = shifted_box(obstacle, dx, dy)
    elif isinstance(obstacle, Edge):
        obstacle = Edge(obstacle.normal, obstacle.offset + obstacle.normal[0] * dx + obstacle.normal[1] * dy)
    else:
        obstacle = Faces(tuple(middle + dx for middle in obstacle.middles), obstacle.half_width)
    return replace(rule, part=shifted_part(rule.part, dx, dy), obstacle=obstacle)


@given(rules=situations(), dx=st.floats(-5, 5), dy=st.floats(-5, 5))
def test_moving_everything_by_one_vector_changes_nothing(rules: list[Rule], dx: float, dy: float) -> None:
    assume(abs(tightest(rules).spare) > 1e-7)  # at the very limit rounding may decide either way
    before, after = conflicts(rules), conflicts([shifted(rule, dx, dy) for rule in rules])
    assert [replace(c, gap=0.0) for c in before] == [replace(c, gap=0.0) for c in after]
    assert [c.gap for c in after] == pytest.approx([c.gap for c in before], abs=1e-9)


@settings(max_examples=10)
@given(shift=st.floats(0.01, 40))
@example(shift=16.0)
def test_moving_a_whole_scenario_along_the_deck_changes_nothing(shift: float) -> None:
    """Anchors, members, joints and zones move forward together; only the deck's ends stay, out of reach."""
    before, after = roadster(), roadster()
    for texts, by in ((before, 0.0), (after, shift)):
        texts["deck"]["length"] = "900 in"
        texts["deck"]["cross_members"]["first_at"] = f"{8 + by} in"
        texts["deck"]["layers"][0]["joints_across"] = [f"{97 + by} in"]
        texts["deck"]["no_go"] = [zone("B", 60 + by, 0, 70 + by, 30)]
        for name, x in (("rear left", 72.5), ("rear right", 98.0), ("front left", 181.0), ("front right", 173.5)):
            texts["anchors"][name]["at"][0] = f"{x + by} in"
    for anchor in roadster()["anchors"]:
        old, new = found(before, anchor), found(after, anchor)
        assert [(c.part, c.obstacle, c.count, c.kind) for c in old.conflicts] == [
            (c.part, c.obstacle, c.count, c.kind) for c in new.conflicts
        ]
        assert [c.gap for c in new.conflicts] == pytest.approx([c.gap for c in old.conflicts], abs=1e-9)
        assert old.clear_along is not None
        assert new.clear_along == pytest.approx(old.clear_along + shift * INCH)
    assert found(before, "front left").conflicts
    assert found(before, "rear right").conflicts


@given(rules=situations(), axis=st.sampled_from([0, 1]))
def test_the_nearest_clear_place_is_clear_and_none_is_nearer(rules: list[Rule], axis: int) -> None:
    shift = nearest_shift(rules, axis)  # type: ignore[arg-type]

    def clear_at(by: float) -> bool:
        dx, dy = (by, 0.0) if axis == 0 else (0.0, by)
        return not conflicts([replace(rule, part=shifted_part(rule.part, dx, dy)) for rule in rules])

    if shift is not None:
        assert clear_at(shift + 1e-9) or clear_at(shift) or clear_at(shift - 1e-9)
    reach = abs(shift) if shift is not None else 3.0
    for by in np.linspace(0, reach, 50)[:-1]:
        if abs(abs(by) - reach) > 1e-6:
            assert not clear_at(float(by))
            assert not clear_at(float(-by))


@given(rules=situations(), axis=st.sampled_from([0, 1]), by=st.floats(-4, 4))
def test_a_shift_is_barred_exactly_where_the_rule_is_broken(rules: list[Rule], axis: int, by: float) -> None:
    dx, dy = (by, 0.0) if axis == 0 else (0.0, by)
    for rule in rules:
        spare = gap(shifted_part(rule.part, dx, dy), rule.obstacle) - rule.wanted
        if abs(spare) > 1e-7:
            barred = any(low < by < high for low, high in rule.barred(axis))  # type: ignore[arg-type]
            assert barred == (spare < 0), rule


def test_a_round_part_may_pass_a_corner_nearer_than_a_side() -> None:
    """Radius 1 and 4 wanted: with the corner 3 to the side, a 3-4-5 triangle leaves 4 along."""
    rule = Rule(DISC, Box((10.0, 12.0), (3.0, 9.0)), "", 4.0)
    assert rule.barred(0) == [(pytest.approx(6.0), pytest.approx(16.0))]
    assert replace(rule, wanted=2.0).barred(0) == []


@given(y=st.floats(0, 34), x=st.floats(5, 150))
def test_left_and_right_are_alike(x: float, y: float) -> None:
    texts = edited(roadster(), "deck", "no_go", value=[zone("C", 40, -9, 60, 9)])
    left, right = edited(texts, "anchors", "rear left", "at", value=[f"{x} in", f"{y} in"]), texts
    for name, anchor in left["anchors"].items():  # the others stand in a mirror as well, for one may be in the way
        along, across = anchor["at"]
        right = edited(right, "anchors", name, "at", value=[along, f"{-float(across.removesuffix(' in'))} in"])
    one, other = found(left), found(right)
    swap = {"left edge": "right edge", "right edge": "left edge"}
    mirrored = {(c.part, swap.get(c.obstacle, c.obstacle)): c.gap for c in other.conflicts}
    straight = {(c.part, c.obstacle): c.gap for c in one.conflicts}
    assert mirrored.keys() == straight.keys()
    assert all(mirrored[key] == pytest.approx(straight[key], abs=1e-12) for key in straight)
    assert one.to_left_edge == pytest.approx(other.to_right_edge)
