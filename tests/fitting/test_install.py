"""The fitting sheet: bolt lengths by hand, tightening against wood and published pairs, holes, shopping."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from anchorcalc.catalog.tables import Catalog
from anchorcalc.fitting.sheet import fitting
from anchorcalc.mechanics.bolts import tightening_torque
from anchorcalc.result.fitting import BoltGroup, FittingSheet, MountingSheet
from anchorcalc.verdict.fits import fitting_requirements
from tests.conftest import SCENARIOS, Texts, edited, rig_of, roadster, texts_of

INCH = 0.0254
LBF = 4.4482216152605
PSI = LBF / INCH**2
LBF_FT = LBF * 12 * INCH

THROUGH = {"kind": "member", "through": "all"}


def sheet_of(texts: Texts, catalog: Catalog) -> FittingSheet:
    return fitting(rig_of(texts, catalog))


def on(mounting: str, texts: Texts | None = None) -> Texts:
    """The demo, or `texts`, with every anchor on one mounting."""
    texts = texts or roadster()
    for anchor in texts["anchors"].values():
        anchor["mounting"] = mounting
    return texts


def only_bolts(sheet: FittingSheet) -> BoltGroup:
    (mounting,) = sheet.mountings
    (group,) = mounting.bolts
    return group


def plated(catalog: Catalog, **fasteners: str) -> MountingSheet:
    texts = roadster()
    texts["mountings"]["plated"]["fasteners"].update(fasteners)
    (mounting,) = sheet_of(texts, catalog).mountings
    return mounting


class TestBoltLength:
    """Against stacks added up by hand, in inches; thicknesses of the tables' rows."""

    def test_on_a_plate(self, catalog: Catalog) -> None:
        group = only_bolts(sheet_of(on("plated"), catalog))
        assert group.grip == pytest.approx((0.1 + 0.75 + 0.75 + 0.1875 + 0.109) * INCH)
        assert group.needed == pytest.approx((1.8965 + 0.609 + 2 / 13) * INCH, rel=1e-6)
        assert group.length == pytest.approx(2.75 * INCH)

    def test_on_washers(self, catalog: Catalog) -> None:
        group = only_bolts(sheet_of(on("bolts and washers"), catalog))
        assert group.needed == pytest.approx((0.1 + 1.5 + 0.08 + 0.609 + 2 / 13) * INCH, rel=1e-6)
        assert group.length == pytest.approx(2.5 * INCH)

    def test_down_to_bridge_bars_past_the_members(self, catalog: Catalog) -> None:
        group = only_bolts(sheet_of(on("bridge bars"), catalog))
        assert group.needed == pytest.approx((0.1 + 1.5 + 2.0 + 0.5 + 0.109 + 0.609 + 2 / 13) * INCH, rel=1e-6)
        assert group.length == pytest.approx(5.0 * INCH)

    def test_metric(self, catalog: Catalog) -> None:
        path = next(path for path in SCENARIOS if path.stem == "cart-held-endways-only")
        group = only_bolts(sheet_of(texts_of(path), catalog))
        assert group.needed == pytest.approx(0.00254 + 0.018 + 0.005 + 0.002 + 0.0119 + 2 * 0.0015)
        assert group.length == pytest.approx(0.045)

    @pytest.mark.parametrize(("walls", "steel"), [("one", 0.1163), ("both", 2.0)])
    def test_through_a_tube(self, catalog: Catalog, walls: str, steel: float) -> None:
        texts = edited(on("plated"), "mountings", "plated", "backing", value={**THROUGH, "walls": walls})
        group = only_bolts(sheet_of(texts, catalog))
        assert group.needed == pytest.approx((0.1 + 1.5 + steel + 0.109 + 0.609 + 2 / 13) * INCH, rel=1e-6)

    def test_a_channel_asks_for_bevelled_washers_in_the_stack_and_among_what_is_bought(self, catalog: Catalog) -> None:
        texts = edited(on("plated"), "mountings", "plated", "backing", value=dict(THROUGH))
        texts["deck"]["cross_members"]["section"] = "channel-4x5.4"
        sheet = sheet_of(texts, catalog)
        group = only_bolts(sheet)
        assert group.grip == pytest.approx((0.1 + 1.5 + 0.296 + 5 / 16 + 0.109) * INCH, rel=1e-6)
        assert {item.kind: count for item, count in sheet.shopping}["bevelled washer"] == 16
        flat = sheet_of(edited(texts, "deck", "cross_members", "section", value="angle-2x2x1/8"), catalog)
        assert "bevelled washer" not in {item.kind for item, _ in flat.shopping}

    def test_bolts_that_miss_the_member_have_a_stack_of_their_own(self, catalog: Catalog) -> None:
        path = next(path for path in SCENARIOS if path.stem == "utility-cart-angle")
        (mounting,) = sheet_of(texts_of(path), catalog).mountings
        in_steel, in_wood = mounting.bolts
        assert (in_steel.count, in_wood.count) == (2, 2)
        assert in_steel.grip - in_wood.grip == pytest.approx(0.1875 * INCH)

    def test_a_length_in_the_file_is_kept_when_it_is_enough_and_told_when_not(self, catalog: Catalog) -> None:
        (long,) = plated(catalog, length="3 1/2 in").bolts
        assert long.length == pytest.approx(3.5 * INCH)
        assert long.long_enough
        (short,) = plated(catalog, length="2 1/2 in").bolts
        assert not short.long_enough
        assert short.length == pytest.approx(2.75 * INCH)

    def test_a_short_bolt_keeps_the_sheet_from_being_ready(self, catalog: Catalog) -> None:
        texts = roadster()
        assert sheet_of(texts, catalog).ready
        texts["mountings"]["plated"]["fasteners"]["length"] = "2 1/2 in"
        assert not sheet_of(texts, catalog).ready

    def test_no_stock_length_is_said_and_rod_is_bought(self, catalog: Catalog) -> None:
        texts = roadster()
        texts["deck"]["layers"] = [
            {
                "panel": "sawn-planks",
                "thickness": "1 1/2 in",
                "face_grain": "along",
                "condition": "sound",
                "screws_per_crossing": "2",
            }
        ] * 6
        texts["deck"]["cross_members"]["section"] = "tube-4x2x1/8"
        sheet = sheet_of(on("bridge bars", texts), catalog)
        group = only_bolts(sheet)
        assert group.needed > 12 * INCH
        assert group.length is None
        assert not group.long_enough
        assert "threaded rod, at least" in {item.kind for item, _ in sheet.shopping}

    def test_the_thread_must_reach_up_to_the_nut(self, catalog: Catalog) -> None:
        """A 1/2-13 bolt of 3 1/2 in has 1 1/4 in of thread: its body of 2 1/4 in is longer than the grip of 1.90 in."""
        (group,) = plated(catalog, length="3 1/2 in").bolts
        assert group.thread == pytest.approx(1.25 * INCH)
        assert not group.thread_reaches
        (stock,) = plated(catalog).bolts
        assert stock.thread_reaches

    def test_a_stock_bolt_whose_thread_ends_too_soon_is_bought_threaded_to_the_head(self, catalog: Catalog) -> None:
        """Bars under tubes of 1 1/2 in: a grip of 3.43 in, and a 3/8-16 of 4 1/2 in has an inch of thread."""
        texts = edited(roadster(), "deck", "cross_members", "section", value="tube-1.5x1.5x1/8")
        texts = edited(texts, "mountings", "bridge bars", "fasteners", "size", value="3/8-16")
        texts = edited(texts, "mountings", "bridge bars", "backing", "thickness", value="1/4 in")
        sheet = sheet_of(on("bridge bars", texts), catalog)
        assert not only_bolts(sheet).thread_reaches
        kinds = {item.kind for item, _ in sheet.shopping}
        assert "bolt threaded to the head" in kinds
        assert "bolt" not in kinds

    @pytest.mark.parametrize(
        ("length", "verdict"),
        # The stack takes 2.66 in at the least; up to 1.90 + 1.25 = 3.15 in the nut comes tight on the grip.
        [("2 3/4 in", "pass"), ("3 in", "pass"), ("3 1/4 in", "marginal"), ("5 in", "marginal")],
    )
    def test_a_bolt_whose_nut_never_comes_tight_does_not_pass(
        self, catalog: Catalog, length: str, verdict: str
    ) -> None:
        texts = roadster()
        texts["mountings"]["plated"]["fasteners"]["length"] = length
        sheet = sheet_of(texts, catalog)
        found = next(each for each in fitting_requirements(sheet, "us") if each.key == "distances")
        assert found.verdict == verdict
        assert ("plated: the nut meets the end of the bolt's thread" in found.provided) == (verdict != "pass")
        assert sheet.ready == (verdict == "pass")


class TestTightening:
    """The bolt's own torque is published; on wood the washer's bearing comes far earlier."""

    @pytest.mark.parametrize(
        ("grade", "size", "F_lbf", "K", "T_lbf_ft"),
        [
            ("SAE 2", "3/8-16", 3197, 0.20, 20.0),
            ("SAE 2", "1/2-13", 5853, 0.20, 48.8),
            ("SAE 5", "3/8-16", 4940, 0.20, 30.9),
            ("SAE 5", "3/8-16", 4940, 0.15, 23.2),
        ],
    )
    def test_proof_of_the_tables_gives_the_published_pairs(
        self, catalog: Catalog, grade: str, size: str, F_lbf: float, K: float, T_lbf_ft: float
    ) -> None:
        """Torque tables of the fastener trade at 75 % of proof; three figures."""
        (group,) = plated(catalog, size=size, grade=grade).bolts
        assert group.tightening.proof_limit == pytest.approx(F_lbf * LBF, rel=2e-3)
        torque = tightening_torque(K, group.tightening.proof_limit, catalog.thread(size).D)
        assert torque / LBF_FT == pytest.approx(T_lbf_ft, rel=3e-3)

    def test_wood_under_a_stiff_washer_by_hand(self) -> None:
        """A 3/8 bolt on a 1 1/2 in washer that bears over all of its width at 425 psi: 696 lbf, 4.3 lbf ft."""
        tension = (1.5**2 - 0.406**2) * math.pi / 4 * INCH**2 * 425 * PSI
        assert tension / LBF == pytest.approx(696, abs=1)
        assert tightening_torque(0.2, tension, 0.375 * INCH) / LBF_FT == pytest.approx(4.35, abs=0.05)

    def test_wood_under_a_thick_washer_in_the_sheet(self, catalog: Catalog) -> None:
        """Half an inch of washer under a 3/8 bolt bears to 4 d = 1 1/2 in; 210 psi less the hole of 7/16 in."""
        texts = on("bolts and washers")
        texts["mountings"]["bolts and washers"]["fasteners"]["size"] = "3/8-16"
        texts["mountings"]["bolts and washers"]["backing"].update(outside="1 1/2 in", thickness="1/2 in")
        found = only_bolts(sheet_of(texts, catalog)).tightening
        assert found.wood_below == pytest.approx(210 * PSI * math.pi / 4 * (1.5**2 - 0.4375**2) * INCH**2, rel=1e-6)

    def test_wood_governs_and_the_wrench_is_set_below_it_by_the_scatter(self, catalog: Catalog) -> None:
        found = only_bolts(sheet_of(roadster(), catalog)).tightening
        assert found.way == "torque"
        assert found.limit in (found.wood_below, found.wood_above)
        assert found.limit < 0.2 * found.proof_limit
        dry, oiled = found.settings
        assert dry.at_limit == pytest.approx(0.20 * found.limit * 0.5 * INCH)
        assert oiled.at_limit / dry.at_limit == pytest.approx(0.15 / 0.20)
        assert dry.at_limit / dry.aim_for == pytest.approx(1.30)

    def test_the_rings_base_presses_on_the_top_layer(self, catalog: Catalog) -> None:
        """12 t of a base of 0.1 in is a disc of 1.2 in: 210 psi on it less the deck's hole of 9/16 in."""
        texts = roadster()
        found = only_bolts(sheet_of(texts, catalog)).tightening
        disc = math.pi / 4 * (1.2**2 - 0.5625**2) * INCH**2
        assert found.wood_above == pytest.approx(210 * PSI * disc, rel=1e-6)
        weathered = edited(texts, "deck", "layers", 0, "condition", value="weathered")
        changed = only_bolts(sheet_of(weathered, catalog)).tightening
        assert changed.wood_above == pytest.approx(0.65 * found.wood_above)
        assert changed.wood_below == pytest.approx(found.wood_below)

    def test_a_thicker_plate_never_lowers_the_limit_below(self, catalog: Catalog) -> None:
        limits = []
        for thickness in ("1/16 in", "1/8 in", "3/16 in", "1/4 in", "1/2 in"):
            texts = edited(roadster(), "mountings", "plated", "backing", "thickness", value=thickness)
            limits.append(only_bolts(sheet_of(texts, catalog)).tightening.wood_below)
        assert limits == sorted(limits)
        assert limits[0] < limits[-1]

    @pytest.mark.parametrize("walls", ["one", "both"])
    def test_bolts_through_both_walls_of_a_tube_are_snug_only(self, catalog: Catalog, walls: str) -> None:
        texts = edited(roadster(), "mountings", "plated", "backing", value={**THROUGH, "walls": walls})
        found = only_bolts(sheet_of(texts, catalog)).tightening
        assert found.way == ("snug" if walls == "both" else "torque")
        assert (found.limit > 0) == (walls == "one")

    def test_bridge_bars_are_snug_only(self, catalog: Catalog) -> None:
        assert only_bolts(sheet_of(on("bridge bars"), catalog)).tightening.way == "snug"

    def test_nothing_is_tightened_on_decay(self, catalog: Catalog) -> None:
        texts = roadster()
        for layer in texts["deck"]["layers"]:
            layer["condition"] = "decayed"
        sheet = sheet_of(texts, catalog)
        assert only_bolts(sheet).tightening.way == "not yet"
        assert sum("decayed: replace" in warning for warning in sheet.warnings) == 2


class TestHoles:
    def test_bolt_holes_are_a_thirty_second_to_a_sixteenth_wider(self, catalog: Catalog) -> None:
        """NDS 12.1.3.2, in every inch row; in the metric ones no more than one millimetre (EN 1995-1-1 10.4.3), and the
        half millimetre at or next above the fine series of ISO 273 [from memory].
        """
        fine = {"M6": 6.4, "M8": 8.4, "M10": 10.5, "M12": 13.0, "M16": 17.0}
        for name, row in catalog.drill_sizes.items():
            if row.kind != "bolt":
                continue
            thread = catalog.thread(name)
            if thread.series == "inch":
                assert row.drill - thread.D == pytest.approx(INCH / 32)
                assert row.most - thread.D == pytest.approx(INCH / 16)
            else:
                assert row.drill == pytest.approx(math.ceil(2 * fine[name]) / 2000)
                assert row.most == pytest.approx(thread.D + 1e-3)
        assert {row.name for row in catalog.drill_sizes.values() if row.kind == "bolt"} == set(catalog.threads)

    def test_pilot_holes_keep_to_the_shares_of_root_and_shank(self, catalog: Catalog) -> None:
        """NDS 12.1.5: 7/8 of root and shank, the stock drill at or next below it; NDS 12.1.4: the widest stock drill
        of no more than 70 % of the shank, and one of some 60 % [from memory; 60 % judgement].
        """
        screws = {name: row for name, row in catalog.screws.items() if row.kind != "self-drilling"}
        for name, screw in screws.items():
            row = catalog.drill_sizes[name]
            assert row.shank is not None
            if screw.kind == "wood screw":
                step = 0.1e-3 if screw.size.endswith("mm") else INCH / 64
                for drill, share in ((row.drill, screw.D_root), (row.most, screw.D_root), (row.shank, screw.D)):
                    assert -step < drill - 7 / 8 * share < 0.05e-3 + 1e-9, name  # to a twentieth of a millimetre
            else:
                assert 0.58 <= row.drill / screw.D <= 0.63
                assert 0.70 - INCH / 64 / screw.D < row.most / screw.D <= 0.70 + 1e-9
                assert row.shank == pytest.approx(screw.D)

    def test_a_thread_the_drill_table_lacks_falls_back_on_the_rule(self, tmp_path: Path) -> None:
        row = (
            "- {name: 9/16-12, series: inch, D: 9/16 in, pitch: 0.083333 in, d_nut: 0.8 in, nut_height: 0.484 in, "
            'locking_nut_height: 0.68 in, source: "ASME B1.1 [from memory]"}\n'
        )
        (tmp_path / "threads.yaml").write_text(row, encoding="utf-8")
        holes = plated(Catalog([tmp_path]), size="9/16-12").holes
        assert holes is not None
        assert holes.drill == pytest.approx((9 / 16 + 1 / 32) * INCH)
        assert holes.most == pytest.approx((9 / 16 + 1 / 16) * INCH)

    def test_screws_get_pilot_and_shank_and_say_whether_they_come_through(self, catalog: Catalog) -> None:
        (mounting,) = sheet_of(on("four screws"), catalog).mountings
        screws = mounting.screws
        assert screws is not None
        assert mounting.holes is None
        assert mounting.bolts == ()
        assert screws.comes_through == pytest.approx((1.5 - 0.1 - 1.5) * INCH)
        assert screws.shank_depth == pytest.approx((0.333 * 1.5 - 0.1) * INCH)

    @pytest.mark.parametrize(("length", "shank"), [("1 1/2", 0.15), ("2", 0.4), ("3", 0.9), ("4", 1.4)])
    def test_no_counted_thread_of_a_lag_screw_is_drilled_away(
        self, length: str, shank: float, catalog: Catalog
    ) -> None:
        """NDS table L2: 1 1/4, 1 1/2, 2 and 2 1/2 in of thread; the base takes 0.1 in of the shank."""
        fasteners = roadster()["mountings"]["four screws"]["fasteners"]
        lag = {**fasteners, "kind": "lag screw", "size": "3/8 in", "length": f"{length} in"}
        texts = edited(on("four screws"), "mountings", "four screws", "fasteners", value=lag)
        (mounting,) = sheet_of(texts, catalog).mountings
        assert mounting.screws is not None
        assert mounting.screws.shank_depth == pytest.approx(shank * INCH)

    def test_distances_in_a_plate(self, catalog: Catalog) -> None:
        """A bolt of 1/2 in at 1 5/8 in from the middle of a 4 1/2 in plate: 5/8 in to the edge, 3/4 in wanted."""
        tight = edited(roadster(), "mountings", "plated", "backing", "size", value=["4 1/2 in", "6 in"])
        sheet = sheet_of(tight, catalog)
        (mounting,) = sheet.mountings
        to_edge, between = mounting.distances
        assert to_edge.found == pytest.approx(0.625 * INCH)
        assert to_edge.wanted == pytest.approx(0.75 * INCH)
        assert not to_edge.kept
        assert not sheet.ready
        assert between.found == pytest.approx(3.25 * INCH)
        assert between.kept

    def test_a_bar_too_narrow_for_its_bolts(self, catalog: Catalog) -> None:
        texts = on("bridge bars")
        texts["mountings"]["bridge bars"]["backing"]["bars"] = "1"
        (mounting,) = sheet_of(texts, catalog).mountings
        assert mounting.distances[0].found == pytest.approx((1.0 - 1.625) * INCH)
        assert not mounting.distances[0].kept

    def test_a_cut_out_leaves_a_rim_and_keeps_off_the_holes(self, catalog: Catalog) -> None:
        texts = roadster()
        texts["mountings"]["plated"]["cut_out"] = ["2 1/2 in", "3 in"]
        (mounting,) = sheet_of(texts, catalog).mountings
        assert mounting.cut_out is not None
        assert mounting.cut_out.rim == pytest.approx(0.75 * INCH)
        distance = next(each for each in mounting.distances if each.what == "hole to the cut-out")
        assert distance.found == pytest.approx(math.hypot(0.375, 0.125) * INCH)
        assert any("opening" in step for step in mounting.work)

    def test_a_cut_out_larger_than_the_base_is_told(self, catalog: Catalog) -> None:
        texts = on("four screws")
        texts["mountings"]["four screws"]["cut_out"] = ["2 in", "4 3/4 in"]
        sheet = sheet_of(texts, catalog)
        rim = next(each for each in sheet.mountings[0].distances if each.what == "base beyond the cut-out")
        assert rim.found == pytest.approx(-0.125 * INCH)
        assert not rim.kept
        assert not sheet.ready


class TestShopping:
    def test_counts_over_all_anchors(self, catalog: Catalog) -> None:
        counts = {item.kind: count for item, count in sheet_of(roadster(), catalog).shopping}
        assert counts == {"ring": 4, "bolt": 16, "lock nut": 16, "plain washer": 16, "plate": 4}

    def test_two_mountings_share_what_is_alike(self, catalog: Catalog) -> None:
        texts = roadster()
        texts["anchors"]["rear left"]["mounting"] = texts["anchors"]["rear right"]["mounting"] = "bridge bars"
        sheet = sheet_of(texts, catalog)
        assert [mounting.name for mounting in sheet.mountings] == ["plated", "bridge bars"]
        counts = {item.kind: count for item, count in sheet.shopping}
        assert (counts["ring"], counts["lock nut"], counts["plate"], counts["bar"]) == (4, 16, 2, 4)
        bolts = {round(item.dimensions[0] / INCH, 6): count for item, count in sheet.shopping if item.kind == "bolt"}
        assert bolts == {2.75: 8, 5.0: 8}
        bar = next(item for item, _ in sheet.shopping if item.kind == "bar")
        assert bar.dimensions[0] == pytest.approx(18 * INCH)

    def test_a_plate_weighs_its_volume(self, catalog: Catalog) -> None:
        """6 × 6 × 3/16 in of steel at 0.2836 lb/in³ (7850 kg/m³): 1.914 lb."""
        plate = next(item for item, _ in sheet_of(roadster(), catalog).shopping if item.kind == "plate")
        assert plate.weight is not None
        assert plate.weight / LBF == pytest.approx(1.914, rel=1e-3)

    def test_screws_are_bought_without_nuts(self, catalog: Catalog) -> None:
        counts = {item.kind: count for item, count in sheet_of(on("four screws"), catalog).shopping}
        assert counts == {"ring": 4, "screw": 16}


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_every_scenario_with_every_mounting_has_a_sheet(path: Path, catalog: Catalog) -> None:
    texts = texts_of(path)
    for mounting in texts["mountings"]:
        sheet = sheet_of(on(mounting, texts), catalog)
        (found,) = sheet.mountings
        assert found.name == mounting
        assert bool(found.bolts) != bool(found.screws)
        assert found.work
        assert all(group.grip < group.needed for group in found.bolts)
        assert sheet.weights.hardware >= 0


def test_measuring_follows_the_sides(catalog: Catalog) -> None:
    square = sheet_of(roadster(), catalog)
    assert square.taper == 0
    assert square.out_of_square == pytest.approx(2 * INCH, rel=1e-4)  # an inch over eight feet, on sixteen
    texts = edited(roadster(), "deck", "width_front", value="79 in")
    tapered = sheet_of(texts, catalog)
    assert tapered.taper == pytest.approx(INCH)
    assert any("left anchors to the left side" in line for line in tapered.measuring)
    assert not any("left anchors to the left side" in line for line in square.measuring)


def test_a_welder_is_told_the_weld_that_counts(catalog: Catalog) -> None:
    texts = on("plated")
    texts["mountings"]["plated"] = {
        "ring": texts["mountings"]["plated"]["ring"],
        "backing": {"kind": "frame", "weld": "3/16 in", "length": "6 in"},
    }
    for name, anchor in texts["anchors"].items():
        anchor["at"][0] = "168 in" if "front" in name else "24 in"
    (mounting,) = sheet_of(texts, catalog).mountings
    assert "legs of 0.187 in (5 mm) and 6 in (152 mm) of weld in all" in mounting.work[-1]
    del texts["mountings"]["plated"]["backing"]["weld"], texts["mountings"]["plated"]["backing"]["length"]
    (mounting,) = sheet_of(texts, catalog).mountings
    assert not any("The check counts" in step for step in mounting.work)


def test_what_of_the_deck_the_strengths_rest_on_is_told(catalog: Catalog) -> None:
    layer = "0.75 in (19 mm) of softwood-plywood, sound"
    deck, screws = sheet_of(roadster(), catalog).counts_on
    assert deck == f"the deck: layer 1 {layer}; layer 2 {layer}"
    every = "its screws: #12 self-drilling every 6 in (152 mm) into every cross-member, heads on layer 1"
    assert screws == f"{every}; none missing, none rusted by a ring"
    rusted = edited(roadster(), "deck", "hold_down", "condition", value="rusted")
    assert sheet_of(rusted, catalog).counts_on[1] == f"{every}; rusted"
    planks = sheet_of(texts_of(next(each for each in SCENARIOS if each.stem == "mower-planks")), catalog).counts_on
    assert planks[1].startswith("its screws: 1/4 in self-drilling, 2 from each plank into every cross-member; ")
