"""The shipped tables: every row has a tagged source, every quantity a unit, and figures agree with both."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Iterator
from itertools import pairwise
from typing import Any, ClassVar, Final

import pytest
import yaml

from anchorcalc.catalog import tables
from anchorcalc.catalog.member_rows import Member
from anchorcalc.catalog.tables import Catalog
from anchorcalc.mechanics.screws import dowel_bearing_strength, low_estimate
from anchorcalc.resources import data_folder

INCH = 0.0254
LBF = 4.4482216152605
PSI = 6894.757293168361
FILES = sorted((*data_folder("tables").glob("*.yaml"), *data_folder("tables").glob("rules/*.yaml")), key=str)
TAG = re.compile(r"\[[^\]]*(\bread\b|from memory|computed|common practice, no source|judgement)[^\]]*\]")

# What names a document: a standard's letters and number, a handbook, a rule of law.
DOCUMENT = re.compile(r"\b(ISO|EN|ASTM|ASME|SAE|NDS|AISC|AISI|APA|CFR|FR|PS|VDI|NSC|IS|AS)\b|Handbook|Manual|Code")

# Fields that are numbers by nature: shares, ratios, counts, accelerations in g.
PURE_NUMBERS = {
    "G", "MOR_cov", "rolling_shear_cov", "withdrawal", "lateral", "pull_through", "bearing", "bending",
    "rolling_shear", "thread_fraction", "stretch", "value", "design_factor", "duration_factor", "pass_below",
    "fail_above", "webbing", "chain", "wire rope", "rope", "hardware", "acceleration", "fraction_of_weight",
    "breaking_over_weight",
    "direct_counts", "over_counts", "loop_counts", "tested_times", "least", "least_each_end", "recommended",
}  # fmt: skip


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return Catalog()


def rows_of(path: Any) -> list[dict[str, Any]]:
    read = yaml.safe_load(path.read_text(encoding="utf-8"))
    return read if isinstance(read, list) else [read]


def leaves(value: Any, key: str = "") -> Iterator[tuple[str, Any]]:
    if isinstance(value, dict):
        for name, below in value.items():
            yield from leaves(below, name)
    elif isinstance(value, list):
        for below in value:
            yield from leaves(below, key)
    else:
        yield key, value


def untagged(source: str) -> str:
    """What stands after the last tag, but for a pointer to a rule that is tagged in its own table."""
    return re.sub(r"\bas [^;]*", "", source[max(found.end() for found in TAG.finditer(source)) :])


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
class TestEveryFile:
    def test_says_where_each_figure_is_from(self, path) -> None:
        for row in rows_of(path):
            sources = [value for key, value in leaves(row) if key == "source"]
            assert "source" in row, row["name"]
            assert all(TAG.search(source) for source in sources), (row["name"], sources)
            assert not any(DOCUMENT.search(untagged(source)) for source in sources), (row["name"], sources)

    def test_holds_no_bare_number_where_a_quantity_is_meant(self, path) -> None:
        bare = {
            key
            for key, value in leaves(rows_of(path))
            if isinstance(value, int | float) and not isinstance(value, bool)
        }
        assert bare <= PURE_NUMBERS

    def test_opens_with_a_word_on_what_it_is(self, path) -> None:
        assert path.read_text(encoding="utf-8").startswith("# ")


def test_every_table_loads_by_its_model(catalog: Catalog) -> None:
    counts = {
        "panels": 5, "conditions": 6, "screws": 13, "threads": 11, "bolt_grades": 10, "washers": 37,
        "steels": 12, "plates": 2, "members": 24, "straps": 52, "factors": 20, "rule_sets": 5,
        "usual_ranges": 5,
    }  # fmt: skip
    for table, least in counts.items():
        assert len(getattr(catalog, table)) >= least, table


def test_every_file_belongs_to_a_table(catalog: Catalog) -> None:
    named = {path.stem for path in FILES if path.parent.name == "tables"}
    assert named == {name for name in named if hasattr(catalog, name)}
    assert {path.stem for path in FILES if path.parent.name == "rules"} == set(catalog.rule_sets)


class TestThreads:
    # ASME B1.1 (inch), ISO 898-1 table 4 (metric): stress areas as the standards print them.
    PRINTED: ClassVar = {
        "1/4-20": 0.0318 * INCH**2, "5/16-18": 0.0524 * INCH**2, "3/8-16": 0.0775 * INCH**2,
        "7/16-14": 0.1063 * INCH**2, "1/2-13": 0.1419 * INCH**2, "5/8-11": 0.226 * INCH**2,
        "M6": 20.1e-6, "M8": 36.6e-6, "M10": 58.0e-6, "M12": 84.3e-6, "M16": 157e-6,
    }  # fmt: skip

    @pytest.mark.parametrize("name", PRINTED)
    def test_stress_area_as_printed(self, catalog: Catalog, name: str) -> None:
        thread = catalog.thread(name)
        assert thread.A_s == pytest.approx(self.PRINTED[name], rel=0.003)
        assert 0.8 * thread.A_s < thread.A_root < thread.A_s

    # Proof and tensile load [lbf], SAE J429; [N], ISO 898-1 tables.
    LOADS: ClassVar = [
        ("1/4-20", "SAE 2", 1750 * LBF, 2350 * LBF), ("3/8-16", "SAE 2", 4250 * LBF, 5750 * LBF),
        ("3/8-16", "SAE 5", 6600 * LBF, 9300 * LBF), ("1/2-13", "SAE 5", 12100 * LBF, 17000 * LBF),
        ("5/16-18", "SAE 8", 6300 * LBF, 7850 * LBF), ("5/8-11", "SAE 8", 27100 * LBF, 33900 * LBF),
        ("M6", "ISO 4.6", 4520, 8040), ("M8", "ISO 8.8", 21200, 29200), ("M10", "ISO 10.9", 48100, 60300),
        ("M12", "ISO 8.8", 48900, 67400), ("M16", "ISO 10.9", 130000, 163000),
    ]  # fmt: skip

    @pytest.mark.parametrize(("thread", "grade", "proof", "tensile"), LOADS)
    def test_printed_loads(self, catalog: Catalog, thread: str, grade: str, proof: float, tensile: float) -> None:
        area, row = catalog.thread(thread).A_s, catalog.bolt_grade(grade)
        assert area * row.proof == pytest.approx(proof, rel=0.01)
        assert area * row.tensile == pytest.approx(tensile, rel=0.01)

    def test_a_larger_bolt_has_a_larger_nut(self, catalog: Catalog) -> None:
        for series in ("inch", "metric"):
            rows = sorted((row for row in catalog.threads.values() if row.series == series), key=lambda row: row.D)
            for small, large in pairwise(rows):
                assert small.d_nut < large.d_nut
                assert small.nut_height < large.nut_height
        for row in catalog.threads.values():
            assert 1.2 * row.D < row.d_nut < 2 * row.D
            assert row.nut_height < row.locking_nut_height


def test_grades_of_one_family_rise(catalog: Catalog) -> None:
    families = (("SAE 2", "SAE 5", "SAE 8"), ("ISO 4.6", "ISO 8.8", "ISO 10.9"))
    for family in families:
        for weak, strong in pairwise(catalog.bolt_grade(name) for name in family):
            assert weak.proof < strong.proof
            assert weak.yield_strength < strong.yield_strength
            assert weak.tensile < strong.tensile


class TestWashers:
    def test_go_over_their_bolt_and_rest_under_its_nut(self, catalog: Catalog) -> None:
        for washer in catalog.washers.values():
            thread = catalog.thread(washer.bolt)
            assert thread.D < washer.inside < thread.d_nut < washer.outside, washer.name
            assert washer.inside < 1.35 * thread.D

    # ISO 7094, grade C (DIN 440 R): least thickness [mm].
    @pytest.mark.parametrize(("bolt", "least"), [("M6", 1.7), ("M8", 2.4), ("M10", 2.4), ("M12", 3.4), ("M16", 4.0)])
    def test_extra_large_ones_are_as_thin_as_grade_c_lets_them_be(
        self, catalog: Catalog, bolt: str, least: float
    ) -> None:
        assert catalog.washers[f"extra large {bolt}"].thickness_least == pytest.approx(least / 1000)

    def test_are_of_a_known_steel(self, catalog: Catalog) -> None:
        for washer in catalog.washers.values():
            assert catalog.steel(washer.steel).F_y <= catalog.steel("mild").F_y


class TestPlates:
    def test_stock_rises_and_reaches_what_a_ring_needs(self, catalog: Catalog) -> None:
        for plate in catalog.plates.values():
            for sizes in (plate.thicknesses, plate.sides):
                assert all(small < large for small, large in pairwise(sizes))
            assert plate.thicknesses[0] < 3.3e-3 < 9e-3 < plate.thicknesses[-1]
            assert plate.sides[0] < 0.08 < 0.2 < plate.sides[-1]


class TestScrews:
    # NDS table I1: bending yield strength by diameter, upper end of each band [in] and ksi.
    F_YB: Final = ((0.142, 100), (0.177, 90), (0.236, 80), (0.273, 70), (0.344, 60), (9.9, 45))

    def test_bending_yield_by_diameter(self, catalog: Catalog) -> None:
        for screw in catalog.screws.values():
            band = next(ksi for upper, ksi in self.F_YB if upper * INCH * 1.0001 >= screw.D)
            assert screw.F_yb == pytest.approx(1000 * band * PSI), screw.name

    # NDS table L2: length and thread with its tip [in].
    LAG_THREADS: Final = ((1, 0.75), (1.5, 1.25), (2, 1.5), (2.5, 1.75), (3, 2), (4, 2.5), (5, 3), (6, 3.5))

    def test_lag_screws_have_the_thread_of_the_table(self, catalog: Catalog) -> None:
        for screw in catalog.screws.values():
            for length, thread in self.LAG_THREADS:
                expected = thread if screw.kind == "lag screw" else screw.thread_fraction * length
                assert screw.thread_length(length * INCH) == pytest.approx(expected * INCH), screw.name

    def test_full_name_is_size_and_kind(self, catalog: Catalog) -> None:
        for screw in catalog.screws.values():
            assert screw.name == f"{screw.size} {screw.kind}"
            assert catalog.screw(screw.kind, screw.size) is screw
            assert catalog.screw_named(screw.name) is screw

    def test_thicker_screws_have_thicker_roots_and_heads(self, catalog: Catalog) -> None:
        families = {(row.kind, row.size.endswith("mm")) for row in catalog.screws.values()}
        for kind, metric in families:
            family = [row for row in catalog.screws.values() if (row.kind, row.size.endswith("mm")) == (kind, metric)]
            rows = sorted(family, key=lambda row: row.D)
            for thin, thick in pairwise(rows):
                assert thin.D_root < thick.D_root
                assert thin.D_head < thick.D_head


class TestMembers:
    # Elastic section modulus: AISC Manual table 1-12 (wall 0.93 of nominal) [in³]; EN 10219-2 annex B [cm³].
    PRINTED: ClassVar = {
        "tube-2x2x1/8": 0.486 * INCH**3, "tube-2x2x3/16": 0.641 * INCH**3, "tube-3x3x1/8": 1.19 * INCH**3,
        "tube-40x40x3": 4.66e-6, "tube-50x50x3": 7.79e-6, "tube-60x60x3": 11.7e-6,
    }  # fmt: skip

    @pytest.mark.parametrize("name", PRINTED)
    def test_tubes_as_printed(self, catalog: Catalog, name: str) -> None:
        assert pytest.approx(self.PRINTED[name], rel=0.004) == catalog.member(name).S

    def test_angles_hold_no_more_than_their_sharp_cornered_shape(self, catalog: Catalog) -> None:
        for row in catalog.members.values():
            if row.shape != "angle":
                continue
            sharp = sharp_angle_modulus(row.depth, row.width, row.thickness)
            assert 0.94 * sharp < row.S <= 1.003 * sharp, row.name

    @pytest.mark.parametrize(
        ("name", "web"),
        [("i-S3x5.7", 0.17 * INCH), ("i-S4x7.7", 0.193 * INCH), ("i-IPE80", 0.0038), ("i-IPE100", 0.0041)],
    )
    def test_beams_hold_what_their_outline_does(self, catalog: Catalog, name: str, web: float) -> None:
        """The modulus of flanges and web alone, with sharp corners: fillets and taper add a little."""
        row = catalog.member(name)
        inner = (row.width - web) * (row.depth - 2 * row.thickness) ** 3
        assert pytest.approx((row.width * row.depth**3 - inner) / (6 * row.depth), rel=0.06) == row.S

    def test_tubes_hold_no_more_than_their_sharp_cornered_shape(self, catalog: Catalog) -> None:
        for row in catalog.members.values():
            if row.shape != "tube":
                continue
            inner = (row.width - 2 * row.thickness) * (row.depth - 2 * row.thickness) ** 3
            sharp = (row.width * row.depth**3 - inner) / 6 / row.depth
            assert 0.88 * sharp < row.S < sharp, row.name


def sharp_angle_modulus(depth: float, width: float, t: float) -> float:
    """Least elastic modulus of an angle about the axis parallel to its horizontal leg [m³]."""
    flange, stem = width * t, (depth - t) * t
    centroid = (flange * t / 2 + stem * (depth + t) / 2) / (flange + stem)
    own = (width * t**3 + t * (depth - t) ** 3) / 12
    inertia = own + flange * (centroid - t / 2) ** 2 + stem * ((depth + t) / 2 - centroid) ** 2
    return inertia / (depth - centroid)


class TestPanels:
    def test_no_section_holds_more_than_the_full_thickness(self, catalog: Catalog) -> None:
        for panel in catalog.panels.values():
            for row in panel.sections:
                t = row.thickness
                for inertia, modulus in ((row.I_par, row.S_par), (row.I_perp, row.S_perp)):
                    assert inertia <= 1.001 * t**3 / 12, (panel.name, t)
                    assert modulus <= 1.001 * t**2 / 6, (panel.name, t)
                assert row.IbQ_perp <= row.IbQ_par <= 1.15 * t, (panel.name, t)

    def test_the_face_grain_is_the_strong_way(self, catalog: Catalog) -> None:
        for panel in catalog.panels.values():
            for row in panel.sections:
                assert row.I_perp < row.I_par
                assert row.S_perp < row.S_par

    def test_thicker_is_stiffer_and_stronger(self, catalog: Catalog) -> None:
        for panel in catalog.panels.values():
            for thin, thick in pairwise(sorted(panel.sections, key=lambda row: row.thickness)):
                for field in ("I_par", "S_par", "IbQ_par", "I_perp", "S_perp", "IbQ_perp"):
                    assert getattr(thin, field) <= getattr(thick, field), (panel.name, thick.thickness, field)

    def test_formwork_worked_example(self, catalog: Catalog) -> None:
        """Peurifoy & Oberlender: 3/4 in class I on three spans of 24 in, w = 120 F_b S / L² = 183 psf."""
        S = catalog.panel("softwood-plywood").section(0.75 * INCH).S_par
        per_metre = 10 * 1930 * PSI * S / (24 * INCH) ** 2  # w L² / 10 = F_b S
        assert per_metre / (LBF / (12 * INCH) ** 2) == pytest.approx(183, rel=0.005)

    @pytest.mark.parametrize("kind", ["softwood-plywood", "structural-1-plywood", "osb", "sawn-planks"])
    def test_dowel_bearing_is_that_of_its_gravity(self, catalog: Catalog, kind: str) -> None:
        """NDS table 12.3.3: F_e = 16 600 G^1.84 for dowels under 1/4 in, rounded to 50 psi."""
        panel = catalog.panel(kind)
        assert panel.dowel_bearing == pytest.approx(float(dowel_bearing_strength(panel.G, 0.2 * INCH)), abs=26 * PSI)

    def test_the_low_estimate_is_above_the_allowable(self, catalog: Catalog) -> None:
        for panel in catalog.panels.values():
            assert low_estimate(panel.MOR_mean, panel.MOR_cov) > 1.6 * panel.F_b
            assert low_estimate(panel.rolling_shear_mean, panel.rolling_shear_cov) > 1.6 * panel.F_s

    def test_birch_breaks_at_its_declared_characteristic_strength_or_below(self, catalog: Catalog) -> None:
        """18 mm birch plywood: 40.2 along and 34.1 N/mm² across on the full section (declared)."""
        panel = catalog.panel("birch-plywood")
        row = panel.section(18e-3)
        low = float(low_estimate(panel.MOR_mean, panel.MOR_cov))
        assert 0.95 * 40.2e6 < low < 40.2e6
        assert 0.8 * 34.1e6 < low * row.S_perp / row.S_par < 34.1e6
        assert panel.E * row.I_par / (18e-3**3 / 12) < 10048e6

    def test_planks_break_at_no_more_than_the_fifth_percentile_behind_their_allowable(self, catalog: Catalog) -> None:
        """ASTM D245 and D1990: bending 2.1 (with 1.3 for 6 in boards), shear 4.1 times the allowable."""
        panel = catalog.panel("sawn-planks")
        assert low_estimate(panel.MOR_mean, panel.MOR_cov) <= 2.1 * 1.3 * panel.F_b
        assert low_estimate(panel.rolling_shear_mean, panel.rolling_shear_cov) <= 4.11 * panel.F_s

    # ASD/LRFD Manual table M9.2-1, OSB, by the thickness sold under each span rating: E I along and across
    # [lb in² / ft], F_b S along and across [lb in / ft] (1 1/8 in across: the lower value, of three plies).
    OSB_CAPACITIES: ClassVar = [
        (7 / 16, 78_000, 16_000, 385, 115),
        (1 / 2, 115_000, 25_000, 445, 165),
        (19 / 32, 225_000, 56_000, 750, 270),
        (23 / 32, 400_000, 91_500, 1000, 405),
        (9 / 8, 1_150_000, 495_000, 1900, 680),
    ]

    @pytest.mark.parametrize("row", OSB_CAPACITIES)
    def test_osb_is_no_stiffer_nor_stronger_than_its_listed_capacities(
        self, catalog: Catalog, row: tuple[float, ...]
    ) -> None:
        inches, EI_along, EI_across, FbS_along, FbS_across = row
        panel = catalog.panel("osb")
        section = panel.section(inches * INCH)
        stiffness, strength = LBF * INCH**2 / (12 * INCH), LBF * INCH / (12 * INCH)
        assert panel.E * section.I_par == pytest.approx(EI_along * stiffness, rel=0.14)
        assert panel.E * section.I_par <= 1.001 * EI_along * stiffness
        assert panel.E * section.I_perp == pytest.approx(EI_across * stiffness, rel=0.001)
        assert panel.F_b * section.S_par <= FbS_along * strength
        assert panel.F_b * section.S_perp <= 1.001 * FbS_across * strength

    def test_structural_1_has_its_own_sections(self, catalog: Catalog) -> None:
        """Peurifoy & Oberlender, Structural I: 3/4 in I .202, S .464, Ib/Q 6.189; across .108, .418, 4.047."""
        row = catalog.panel("structural-1-plywood").section(0.75 * INCH)
        foot = 12 * INCH
        found = (row.I_par, row.S_par, row.IbQ_par, row.I_perp, row.S_perp, row.IbQ_perp)
        printed = (0.202, 0.464, 6.189, 0.108, 0.418, 4.047)
        powers = (4, 3, 2, 4, 3, 2)
        for value, figure, power in zip(found, printed, powers, strict=True):
            assert value == pytest.approx(figure * INCH**power / foot, rel=1e-6)

    def test_bending_and_bearing_are_of_one_species_group(self, catalog: Catalog) -> None:
        """Plywood Design Specification, S-2: group 1 1650 and 340 psi, groups 2 and 3 1200 and 210 psi."""
        for name, F_b, bearing in (("structural-1-plywood", 1650, 340), ("softwood-plywood", 1200, 210)):
            panel = catalog.panel(name)
            assert panel.F_b == pytest.approx(F_b * PSI)
            assert panel.bearing_allowable == pytest.approx(bearing * PSI)


class TestConditions:
    def test_sound_loses_nothing(self, catalog: Catalog) -> None:
        sound = catalog.condition("sound")
        assert {sound.withdrawal, sound.lateral, sound.pull_through, sound.bearing, sound.bending} == {1.0}

    def test_what_is_rotten_or_apart_carries_nothing(self, catalog: Catalog) -> None:
        for name in ("decayed", "delaminated"):
            row = catalog.condition(name)
            assert not row.carries
            assert row.withdrawal == row.lateral == row.pull_through == row.bearing == row.bending == 0
            assert row.advice == "replace it"

    def test_wet_counts_no_more_than_wet_over_dry(self, catalog: Catalog) -> None:
        """Plywood Design Specification, wet over dry psi: bending 1190/1650, bearing 210/340, shear 44/53; NDS 0.7."""
        wet = catalog.condition("wet")
        assert wet.bending <= 1190 / 1650
        assert wet.bearing == pytest.approx(210 / 340, abs=0.005)
        assert wet.rolling_shear <= 44 / 53
        assert max(wet.withdrawal, wet.lateral, wet.pull_through) <= 0.7

    def test_a_worse_word_never_counts_for_more(self, catalog: Catalog) -> None:
        rows = [catalog.condition(name) for name in ("sound", "weathered", "wet", "outdoor-cycled", "decayed")]
        for better, worse in pairwise(rows):
            for name in ("withdrawal", "lateral", "pull_through", "bearing", "bending", "rolling_shear"):
                assert getattr(worse, name) <= getattr(better, name), (worse.name, name)


class TestStraps:
    @pytest.mark.parametrize(
        ("kind", "inches", "grade", "pounds"),
        [
            ("webbing", 1.75, "unmarked", 1750),
            ("webbing", 4, "unmarked", 4000),
            ("chain", 1 / 4, "30", 1300),
            ("chain", 3 / 8, "43", 5400),
            ("chain", 5 / 16, "70", 4700),
            ("chain", 1 / 2, "80", 12000),
            ("chain", 5 / 8, "100", 22600),
            ("wire rope", 3 / 8, "6x37 fibre core", 3000),
            ("rope", 1 / 2, "nylon", 525),
        ],
    )
    def test_federal_default(self, catalog: Catalog, kind: str, inches: float, grade: str, pounds: float) -> None:
        """49 CFR 393.108, tables of default working load limits."""
        assert catalog.strap(kind, inches * INCH, grade).rated == pytest.approx(pounds * LBF)

    def test_a_thicker_one_of_a_kind_and_grade_holds_more(self, catalog: Catalog) -> None:
        by_grade: dict[tuple[str, str], list[Any]] = {}
        for row in catalog.straps.values():
            by_grade.setdefault((row.kind, row.grade), []).append(row)
        for rows in by_grade.values():
            for thin, thick in pairwise(sorted(rows, key=lambda row: row.size)):
                assert thin.rated < thick.rated

    def test_hand_tension_stays_below_the_rating_for_ratchets(self, catalog: Catalog) -> None:
        for row in catalog.straps.values():
            if row.kind == "webbing" and row.size > 1.5 * INCH:
                assert row.hand_tension < row.rated


class TestRules:
    def test_federal_criteria(self, catalog: Catalog) -> None:
        """49 CFR 393.102(a)(1), (a)(2), (b)."""
        cases = {(case.case, case.level): case for case in catalog.rule_set("us-road").cases}
        assert {key: case.acceleration for key, case in cases.items()} == {
            ("forward", "breaking"): (0.8, 0, 0),
            ("rearward", "breaking"): (-0.5, 0, 0),
            ("left", "breaking"): (0, 0.5, 0),
            ("right", "breaking"): (0, -0.5, 0),
            ("forward", "working"): (0.435, 0, 0),
            ("rearward", "working"): (-0.5, 0, 0),
            ("left", "working"): (0, 0.25, 0),
            ("right", "working"): (0, -0.25, 0),
            ("upward", "working"): (0, 0, 0.2),
        }
        assert [case.case for case in cases.values() if not case.gravity] == ["upward"]

    @pytest.mark.parametrize(
        ("name", "forward", "sideways"),
        [
            ("ca-road", 0.8, 0.5), ("eu-road", 0.8, 0.5), ("au-road", 0.8, 0.5), ("nz-road", 1.0, 0.5),
            # VDI 2700-16: vehicles up to 2.0 t, and of 2.0 to 3.5 t.
            ("eu-light-2t", 0.9, 0.7), ("eu-light-3.5t", 0.8, 0.6),
        ],
    )  # fmt: skip
    def test_elsewhere_everything_is_held_at_the_working_level(
        self, catalog: Catalog, name: str, forward: float, sideways: float
    ) -> None:
        cases = catalog.rule_set(name).cases
        assert {case.level for case in cases} == {"working"}
        found = {case.case: case.acceleration for case in cases}
        assert found["forward"] == (forward, 0, 0)
        assert found["rearward"] == (-0.5, 0, 0)
        assert found["left"] == (0, sideways, 0)
        assert found["right"] == (0, -sideways, 0)
        assert found["upward"] == (0, 0, 0.2)

    def test_a_bump_decides_where_the_rules_ask_for_it(self, catalog: Catalog) -> None:
        """In neither 2014/47/EU nor EN 12195-1; in Australia where friction is relied on; elsewhere always."""
        found = {}
        for name, rules in catalog.rule_sets.items():
            (bump,) = (case for case in rules.cases if case.case == "upward")
            found[name] = (bump.decides(friction=False), bump.decides(friction=True))
        never = dict.fromkeys(("eu-road", "eu-light-2t", "eu-light-3.5t"), (False, False))
        always = dict.fromkeys(("us-road", "ca-road", "nz-road"), (True, True))
        assert found == {**never, **always, "au-road": (False, True)}

    def test_every_set_has_every_direction_and_a_way_out(self, catalog: Catalog) -> None:
        for rules in catalog.rule_sets.values():
            assert {case.case for case in rules.cases} == {"forward", "rearward", "left", "right", "upward"}
            assert rules.pass_below == 0.8
            assert rules.fail_above == 1.0
            assert rules.design_factor >= 3
            assert rules.rechecks
            assert any("crash" in caution for caution in rules.cautions)

    def test_light_vehicles_end_where_each_rule_says(self, catalog: Catalog) -> None:
        """49 CFR 393.126: 10 000 lb; the common standard in Canada: 4 500 kg (drivers' handbook, chapter 9)."""
        assert catalog.rule_set("us-road").light_vehicle.heaviest == pytest.approx(10_000 * LBF)
        assert catalog.rule_set("ca-road").light_vehicle.heaviest == pytest.approx(4500 * 9.80665)
        for name in ("eu-road", "eu-light-2t", "eu-light-3.5t", "au-road", "nz-road"):  # the federal one as a yardstick
            assert catalog.rule_set(name).light_vehicle.heaviest == pytest.approx(10_000 * LBF)

    def test_only_the_federal_rule_lets_an_unmarked_strap_count(self, catalog: Catalog) -> None:
        assert [name for name, rules in catalog.rule_sets.items() if rules.unmarked_counts] == ["us-road"]


LAZY = """
import sys
from collections import Counter
from anchorcalc.catalog import tables as module
from anchorcalc.units import parse_quantity
parse_quantity("1 in", "length")
before, read, load = set(sys.modules), Counter(), module._load
module._load = lambda path: read.update([path.name]) or load(path)
catalog = module.Catalog()
assert not read, "nothing is read before it is asked for"
tables = [catalog.panels, catalog.conditions, catalog.screws, catalog.threads, catalog.bolt_grades,
          catalog.washers, catalog.steels, catalog.members, catalog.straps, catalog.factors,
          catalog.usual_ranges, catalog.rule_sets]
heavy = {"scipy.optimize", "scipy.sparse", "rich", "jinja2"}
assert not heavy & set(sys.modules), sorted(heavy & set(sys.modules))
assert catalog.panels is tables[0]
assert set(read.values()) == {1}, read
print(len(read), *sorted(set(sys.modules) - before))
"""


def test_all_tables_load_quickly_and_pull_in_nothing_heavy() -> None:
    """Quick because each file is read once, by the parser written in C, and no module is loaded on the way."""
    done = subprocess.run([sys.executable, "-c", LAZY], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    count, *loaded = done.stdout.split()
    assert int(count) == 11 + len(list(data_folder("tables").glob("rules/*.yaml")))
    assert loaded == []
    assert tables._Safe is getattr(yaml, "CSafeLoader", yaml.SafeLoader)


STEEL, YOUNG, INCHES = 36e3 * PSI, 29e6 * PSI, INCH


@pytest.mark.parametrize(
    ("sizes", "S", "share"),
    [
        # A leg 2 in by 0.06: x = 33.3 √(36 / 29 000) = 1.174, 0.71 / x².
        ({"shape": "angle", "depth": 2, "width": 2, "thickness": 0.06}, 0.064, 0.515),
        # A tube 4 in square of 0.04: λ of 3.92 in at k 4 is 98 / 53.95 = 1.817, (1 - 0.22 / λ) / λ; its webs at k 24
        # λ 0.742, 0.948 of them.
        ({"shape": "tube", "depth": 4, "width": 4, "thickness": 0.04}, 0.8, 0.484 * 0.948),
        # A channel folded of 0.06: a flange of 1.44 in at k 0.43 λ 24 / 17.69 = 1.357, 0.617; a web of 2.88 in whole.
        ({"shape": "channel", "depth": 3, "width": 1.5, "thickness": 0.06}, 0.36, 0.617),
        ({"shape": "tube", "depth": 2, "width": 2, "thickness": 0.1163}, 0.486, 1.0),
    ],
)
def test_thin_flats_of_ones_own_sections_are_not_counted_whole(sizes: dict[str, Any], S: float, share: float) -> None:
    lengths = {key: value if key == "shape" else f"{value} in" for key, value in sizes.items()}
    row = Member.model_validate({"name": "own", "source": "measured", "S": f"{S} in3", **lengths})
    found = row.resists(STEEL, YOUNG, 1.0 * INCHES)  # so short that it does not turn over
    assert found == pytest.approx(share * STEEL * S * INCHES**3, rel=0.01)


@pytest.mark.parametrize(
    ("name", "length", "share"),
    [("channel-3x4.1", 192, 0.535), ("channel-4x5.4", 192, 0.476), ("channel-3x4.1", 12, 1.0), ("i-S3x5.7", 36, 1.0)],
)
def test_open_sections_turn_over_between_what_holds_them(
    catalog: Catalog, name: str, length: float, share: float
) -> None:
    """(π / L) √(E I_y G J + (π E / L)² I_y C_w) with the figures of the AISC Manual's tables, over F_y S."""
    row = catalog.member(name)
    assert row.S is not None
    assert row.resists(STEEL, YOUNG, length * INCHES) == pytest.approx(share * STEEL * row.S, rel=0.01)
