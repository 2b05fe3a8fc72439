"""The catalog: look-ups, the user's own tables, and what a faulty table is told."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from anchorcalc.catalog.rows import PanelSection, UnknownName
from anchorcalc.catalog.tables import Catalog, CatalogError
from anchorcalc.reading.faults import InputFaults
from anchorcalc.resources import data_folder
from tests.conftest import edited, rig_of, roadster

INCH = 0.0254
LBF = 4.4482216152605
KSI = 6894757.293168361

OAK = """
- {name: oak iron, F_y: 40 ksi, F_u: 60 ksi, E: 29000 ksi, density: 7850 kg/m3, source: mill sheet 17}
"""


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return Catalog()


def own_folder(tmp_path: Path, file: str, text: str) -> Path:
    path = tmp_path / file
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return tmp_path


def test_quantities_arrive_in_si(catalog: Catalog) -> None:
    assert catalog.steel("A36").F_y == pytest.approx(36 * KSI)
    diameter = catalog.thread("3/8-16").D
    assert diameter == pytest.approx(0.375 * INCH)
    assert catalog.strap("webbing", 2 * INCH, None).rated == pytest.approx(2000 * LBF)
    section = catalog.panel("softwood-plywood").section(0.75 * INCH)
    assert section.I_par == pytest.approx(0.199 * INCH**4 / (12 * INCH))
    assert section.S_perp == pytest.approx(0.306 * INCH**3 / (12 * INCH))
    assert section.IbQ_par == pytest.approx(7.187 * INCH**2 / (12 * INCH))
    assert catalog.factor("pull_over_widest_washer") == pytest.approx(0.75 * INCH)


def test_a_table_is_read_once(catalog: Catalog) -> None:
    assert catalog.steels is catalog.steels
    assert catalog.steel("mild") is catalog.steel("mild")


@pytest.mark.parametrize(
    ("look_up", "nearest"),
    [
        (lambda c: c.panel("softwod-plywood"), "softwood-plywood"),
        (lambda c: c.steel("mildd"), "mild"),
        (lambda c: c.thread("3/8"), "3/8-16"),
        (lambda c: c.bolt_grade("SAE5"), "SAE 5"),
        (lambda c: c.screw("wood screw", "14"), "#14"),
        (lambda c: c.screw_named("#12 self drilling"), "#12 self-drilling"),
        (lambda c: c.member("tube-2x2x1-8"), "tube-2x2x1/8"),
        (lambda c: c.condition("sounds"), "sound"),
        (lambda c: c.rule_set("us_road"), "us-road"),
        (lambda c: c.factor("aisc_bolts"), "aisc_bolt"),
    ],
)
def test_an_unknown_name_gives_the_nearest(catalog: Catalog, look_up, nearest: str) -> None:
    with pytest.raises(UnknownName, match="did you mean") as caught:
        look_up(catalog)
    assert f"did you mean {nearest!r}" in str(caught.value)
    assert nearest in caught.value.allowed


@pytest.mark.parametrize(
    ("look_up", "near"),
    [
        (lambda c: c.member("tube-2x2"), "'tube-2x2x1/8', 'tube-2x2x3/16', 'tube-2x2x14ga'"),
        (lambda c: c.bolt_grade("SAE 6"), "'SAE 8', 'SAE 5', 'SAE 2'"),
        (lambda c: c.panel("softwood-plywood").section(0.033), "'28.6 mm (1.12 in)'"),
    ],
)
def test_no_size_is_chosen_for_one_that_no_table_has(catalog: Catalog, look_up, near: str) -> None:
    with pytest.raises(UnknownName, match="between two take the weaker") as caught:
        look_up(catalog)
    assert f"near it: {near}" in str(caught.value)


def test_a_name_like_none_lists_what_is_known(catalog: Catalog) -> None:
    with pytest.raises(UnknownName) as caught:
        catalog.rule_set("qqq")
    assert "did you mean" not in str(caught.value)
    assert str(caught.value).endswith("Known: au-road, ca-road, eu-light-2t, eu-light-3.5t, eu-road, nz-road, us-road")


class TestSections:
    """The thickness asked for is never answered by one that is much thicker, nor by one much thinner."""

    @pytest.mark.parametrize(
        ("kind", "asked", "found"),
        [
            ("softwood-plywood", 0.75 * INCH, 0.75 * INCH),
            ("softwood-plywood", 18e-3, 23 / 32 * INCH),
            ("softwood-plywood", 21e-3, 21e-3),
            ("softwood-plywood", 28e-3, 28e-3),
            ("softwood-plywood", 1.125 * INCH, 1.125 * INCH),
            ("birch-plywood", 0.75 * INCH, 18e-3),
            ("osb", 12e-3, 7 / 16 * INCH),
            ("sawn-planks", 1.5 * INCH, 1.5 * INCH),
        ],
    )
    def test_row(self, catalog: Catalog, kind: str, asked: float, found: float) -> None:
        assert catalog.panel(kind).section(asked).thickness == pytest.approx(found)

    @pytest.mark.parametrize("asked", [6e-3, 0.25, 32e-3])
    def test_no_row(self, catalog: Catalog, asked: float) -> None:
        with pytest.raises(UnknownName, match=r"thickness of softwood-plywood.*19\.0 mm \(0\.75 in\)"):
            catalog.panel("softwood-plywood").section(asked)

    def test_every_listed_thickness_finds_its_own_row(self, catalog: Catalog) -> None:
        for panel in catalog.panels.values():
            for row in panel.sections:
                assert panel.section(row.thickness) is row

    def test_never_above_two_per_cent_thicker(self, catalog: Catalog) -> None:
        for panel in catalog.panels.values():
            for micrometres in range(8000, 52000, 130):
                asked = micrometres * 1e-6
                try:
                    found = panel.section(asked).thickness
                except UnknownName:
                    continue
                assert 0.92 * asked <= found <= 1.02 * asked


class TestStraps:
    def test_an_unmarked_chain_counts_as_grade_30(self, catalog: Catalog) -> None:
        assert catalog.strap("chain", 3 / 8 * INCH, None).grade == "30"
        assert catalog.strap("chain", 3 / 8 * INCH, "70").rated == pytest.approx(6600 * LBF)

    def test_between_sizes_the_smaller_counts(self, catalog: Catalog) -> None:
        assert catalog.strap("webbing", 2.9 * INCH, None).rated == pytest.approx(2000 * LBF)
        assert catalog.strap("webbing", 50e-3, None).rated == pytest.approx(2000 * LBF)
        assert catalog.strap("chain", 8e-3, "80").rated == pytest.approx(4500 * LBF)

    def test_an_unknown_fibre_counts_as_the_weakest(self, catalog: Catalog) -> None:
        unknown = catalog.strap("rope", 0.5 * INCH, None).rated
        assert unknown == min(row.rated for row in catalog.straps.values() if row.name.startswith("rope 1/2 in"))

    def test_too_narrow(self, catalog: Catalog) -> None:
        with pytest.raises(UnknownName, match=r"no webbing of size '0\.5 in'"):
            catalog.strap("webbing", 0.5 * INCH, None)

    def test_unknown_grade(self, catalog: Catalog) -> None:
        with pytest.raises(UnknownName, match="no chain of grade '71'; near it: '70'"):
            catalog.strap("chain", 0.5 * INCH, "71")


class TestOwnTables:
    def test_a_row_is_added_and_marked(self, tmp_path: Path) -> None:
        folder = own_folder(tmp_path, "steels.yaml", OAK)
        catalog = Catalog([folder])
        assert rig_of(roadster(), catalog).own_rows == ()
        assert catalog.steel("oak iron").F_u == pytest.approx(60 * KSI)
        assert catalog.steel("oak iron").own_file == str(folder / "steels.yaml")
        using = edited(roadster(), "mountings", "plated", "backing", "steel", value="oak iron")
        assert rig_of(using, catalog).own_rows == (f"oak iron ({folder / 'steels.yaml'})",)
        assert catalog.steel("mild").own_file is None

    def test_a_clash_with_the_shipped_tells_where(self, tmp_path: Path) -> None:
        folder = own_folder(tmp_path, "steels.yaml", OAK.replace("oak iron", "mild"))
        with pytest.raises(InputFaults) as caught:
            Catalog([folder])
        assert str(caught.value).startswith(f"{folder / 'steels.yaml'}:2:10: item 1 › name: ")
        assert "'mild' is already in the shipped steels.yaml" in str(caught.value)

    def test_a_clash_between_two_own_folders_names_both_files(self, tmp_path: Path) -> None:
        first = own_folder(tmp_path / "a", "steels.yaml", OAK)
        second = own_folder(tmp_path / "b", "steels.yaml", OAK)
        with pytest.raises(InputFaults) as caught:
            Catalog([first, second])
        assert f"is already in {first / 'steels.yaml'}" in str(caught.value)
        assert str(caught.value).startswith(str(second / "steels.yaml"))

    def test_a_clash_within_one_file_and_of_rule_sets(self, tmp_path: Path) -> None:
        with pytest.raises(InputFaults, match=r"item 2 › name: 'oak iron' is already in this file"):
            Catalog([own_folder(tmp_path / "a", "steels.yaml", OAK + OAK)])
        text = (data_folder("tables") / "rules" / "nz-road.yaml").read_text(encoding="utf-8")
        with pytest.raises(InputFaults, match="name: 'nz-road' is already in the shipped rules"):
            Catalog([own_folder(tmp_path / "b", "rules/nz-road.yaml", text)])

    def test_a_rule_set_of_ones_own(self, tmp_path: Path) -> None:
        text = (data_folder("tables") / "rules" / "nz-road.yaml").read_text(encoding="utf-8")
        folder = own_folder(tmp_path, "rules/club.yaml", text.replace("name: nz-road", "name: club"))
        catalog = Catalog([folder])
        assert catalog.rule_set("club").cases == catalog.rule_set("nz-road").cases
        assert rig_of(edited(roadster(), "rules", value="club"), catalog).own_rows == (
            f"club ({folder / 'rules' / 'club.yaml'})",
        )

    def test_a_missing_folder(self, tmp_path: Path) -> None:
        with pytest.raises(CatalogError, match="no such folder of tables"):
            Catalog([tmp_path / "nothing"])

    def test_a_folder_without_tables(self, tmp_path: Path) -> None:
        with pytest.raises(CatalogError, match=r"holds no table; allowed: .*steels\.yaml"):
            Catalog([tmp_path])

    def test_a_misspelt_rule_file(self, tmp_path: Path) -> None:
        with pytest.raises(CatalogError, match=r"club\.yml: no table has this name"):
            Catalog([own_folder(tmp_path, "rules/club.yml", "name: club")])

    def test_a_misspelt_file(self, tmp_path: Path) -> None:
        with pytest.raises(CatalogError, match=r"steel\.yaml: no table has this name; allowed: .*steels\.yaml"):
            Catalog([own_folder(tmp_path, "steel.yaml", OAK)])


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (("F_y: 40 ksi", "F_y: 40"), "2:25: item 1 › F_y: '40' has no unit"),
        (("F_y: 40 ksi", "F_y: 40 kis"), "2:25: item 1 › F_y: '40 kis': unknown unit 'kis'; allowed: Pa"),
        (("F_y: 40 ksi", "F_y: 40 in"), "2:25: item 1 › F_y: '40 in' is a length, a pressure is wanted"),
        (("F_y: 40 ksi", "F_y: 0 ksi"), "2:25: item 1 › F_y: this should be greater than 0; read: '0 ksi'"),
        (("F_y: 40 ksi", "F_y: -40 ksi"), "2:25: item 1 › F_y: this should be greater than 0; read: '-40 ksi'"),
        (
            ("F_y: 40 ksi", "F_y: 1e6 ksi"),
            "2:25: item 1 › F_y: '1e6 ksi' is more than there is; allowed: up to 2.5 GPa",
        ),
        (("F_y: 40 ksi", "F_y: nan ksi"), "2:25: item 1 › F_y: 'nan ksi' is not a finite number"),
        (("F_y: 40 ksi", "F_y: 70 ksi"), "2:3: item 1: F_y is greater than F_u"),
        (("F_y: 40 ksi, ", ""), "2:3: item 1: missing key 'F_y'"),
        (("source", "welded: oak irn, source"), "item 1 › welded: no steel 'oak irn'; did you mean 'oak iron'?"),
        (("F_y: 40 ksi", "F_y: 40 ksi, colour: red"), "2:33: item 1: unknown key 'colour'"),
        (("F_y: 40 ksi", "F_y: 40 ksi, F_y: 80 ksi"), "2:33: item 1 › F_y: this key is already given in line 2"),
        (("mill sheet 17", '""'), "item 1 › source: an empty text says nothing"),
        (("mill sheet 17", '"\\e[2J"'), "item 1 › source: a name with the control character U+001B"),
        (("mill sheet 17", "&a b"), "anchors (&a) are not read"),
        (("mill sheet 17", "!!python/name:os.system x"), "tags (words that begin with !) are not read"),
        (("- {name: oak iron", "- [name, oak iron"), "is missing before this '}'"),
        (("- {", "{"), "2:1: the file is keys with values; a list of rows (- {name: ...}) is wanted"),
        (
            (OAK, "- oak"),
            "1:3: item 1: keys with values (name, source, F_y, F_u, E, density, in_shops, welded) are wanted",
        ),
        ((OAK, ""), "the file says nothing"),
    ],
)
def test_a_faulty_row_is_told_with_its_place(tmp_path: Path, change: tuple[str, str], told: str) -> None:
    folder = own_folder(tmp_path, "steels.yaml", OAK.replace(*change))
    with pytest.raises(InputFaults) as caught:
        Catalog([folder])
    assert str(caught.value).startswith(f"{folder / 'steels.yaml'}:")
    assert told in str(caught.value)


def test_what_a_steel_is_beside_welds_may_be_a_row_of_ones_own_or_a_shipped_one(tmp_path: Path) -> None:
    own = OAK.replace("source", "welded: elm iron, source") + OAK.replace("oak iron", "elm iron").replace("40", "20")
    other = OAK.replace("oak iron", "ash iron").replace("40", "50").replace("source", "welded: mild, source")
    rows = Catalog([own_folder(tmp_path, "steels.yaml", own + other.lstrip())]).steels
    assert [rows[name].welded for name in ("oak iron", "ash iron")] == ["elm iron", "mild"]


def test_all_faults_of_a_table_are_told_at_once(tmp_path: Path) -> None:
    rows = OAK.replace("40 ksi", "40") + OAK.replace("oak iron", "elm iron").replace("60 ksi", "60 kg")
    with pytest.raises(InputFaults) as caught:
        Catalog([own_folder(tmp_path, "steels.yaml", rows)])
    assert len(caught.value.faults) == 2


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("{name: f, value: .nan, dimension: number, why: w, source: s}", "value '.nan' is no plain number"),
        ("{name: f, value: nan, dimension: number, why: w, source: s}", "value is not finite"),
        ("{name: f, value: 3 kg, dimension: length, why: w, source: s}", "a length is wanted"),
    ],
)
def test_a_faulty_factor_is_told(tmp_path: Path, line: str, told: str) -> None:
    with pytest.raises(InputFaults, match=told):
        Catalog([own_folder(tmp_path, "factors.yaml", f"- {line}\n")])


SOLID = "- {name: my bar, shape: tube, depth: 2 in, width: 2 in, thickness: 1/4 in, S: 0.9 in3, source: mine}\n"


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (("thickness: 1/4 in", "thickness: 1.1 in"), "thickness is more than half of the section"),
        (("S: 0.9 in3", "S: 0.93 in3"), "S is more than a sharp-cornered tube"),  # (2⁴ − 1.5⁴) / 12 = 0.911
        (("thickness: 1/4 in", "thickness: 0.1 in"), "S is more than a sharp-cornered tube"),
        (("shape: tube", "shape: angle"), "S is more than a sharp-cornered angle"),
        (
            (
                "tube, depth: 2 in, width: 2 in, thickness: 1/4 in",
                "channel, depth: 2 in, width: 2 in, thickness: 1/8 in",
            ),
            "S is more than a sharp-cornered channel",
        ),
        (("thickness: 1/4 in", "thickness: 1/4 in, web: 1/8 in"), "web is a word for a channel or an i"),
        (("tube, depth: 2 in", "i, web: 3/8 in, depth: 2 in"), "web is thicker than thickness"),
        (("thickness: 1/4 in", "thickness: 0.1 mm"), "'0.1 mm' is less than there is; allowed: from 0.5 mm"),
        (("width: 2 in", "width: 1 mm"), "'1 mm' is less than there is; allowed: from 10 mm"),
    ],
)
def test_a_section_cannot_hold_more_steel_than_its_outline(tmp_path: Path, change: tuple[str, str], told: str) -> None:
    assert "my bar" in Catalog([own_folder(tmp_path / "sound", "members.yaml", SOLID)]).members
    with pytest.raises(InputFaults, match=told):
        Catalog([own_folder(tmp_path, "members.yaml", SOLID.replace(*change))])


@pytest.mark.parametrize("name", ["I_par", "S_par", "IbQ_par", "I_perp", "S_perp", "IbQ_perp"])
def test_no_panel_is_stiffer_than_a_solid_slab(name: str) -> None:
    # A solid slab of thickness t, per width: I = t³/12, S = t²/6; Ib/Q stays below t.
    section = {"I_par": "6 mm4/mm", "S_par": "6 mm3/mm", "IbQ_par": "5 mm2/mm", "source": "mine", "thickness": "6 mm",
               "I_perp": "6 mm4/mm", "S_perp": "6 mm3/mm", "IbQ_perp": "5 mm2/mm"}  # fmt: skip
    assert PanelSection.model_validate(section).thickness == pytest.approx(0.006)
    unit = section[name].split()[1]
    with pytest.raises(ValueError, match=f"{name} is more than a solid panel"):
        PanelSection.model_validate({**section, name: f"20 {unit}"})


RULES = (data_folder("tables") / "rules" / "us-road.yaml").read_text(encoding="utf-8").replace("us-road", "club")


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (("rope: 5, ", ""), "breaking_over_rated lacks rope"),
        (
            ("design_factor: 3", "design_factor: 1"),
            "design_factor: this should be greater than or equal to 2; read: '1'",
        ),
        (("fail_above: 1.00", "fail_above: 1.5"), "fail_above: this should be less than or equal to 1"),
        (("acceleration: [0.8, 0, 0]", "acceleration: [0, 0, 0]"), "forward does not push forward by at least 0.1 g"),
        (("acceleration: [0.8, 0, 0]", "acceleration: [-0.8, 0, 0]"), "forward does not push forward"),
        (("{case: upward", "{case: left"), "left does not push left"),
        (("fraction_of_weight: 0.5", "fraction_of_weight: 0.2"), "should be greater than or equal to 0.25"),
        (("pass_below: 0.80", "pass_below: 1"), "pass_below: this should be less than or equal to 0.95"),
        (("light_vehicle: {kinds: [car, light truck, van]", "light_vehicle: {kinds: []"), "kinds: "),
        (("heaviest: 10000 lb", "heaviest: 50 t"), "'50 t' is more than there is; allowed: up to 5000 kg"),
        (("kinds: [car, light truck, van]", "kinds: [cars]"), "did you mean 'car'"),
        (("least: 2,", "least: 0,"), "least: this should be greater than or equal to 1"),
        (("least: 2,", "least: -2,"), "least: this should be greater than or equal to 1"),
        (("least: 2,", "least: 51,"), "least: this should be less than or equal to 50"),
        (("least_each_end: 2", "least_each_end: 0"), "least_each_end: this should be greater than or equal to 1"),
        (("recommended: 4", "recommended: 0"), "recommended: this should be greater than or equal to 1"),
        (("heavy: {least: 4", "heavy: {least: 0"), "least: this should be greater than or equal to 1"),
        (("breaking_over_weight: 1.5", "breaking_over_weight: .inf"), "breaking_over_weight"),
        (("breaking_over_weight: 1.5", "breaking_over_weight: 21"), "should be less than or equal to 20"),
        (("step: 10 ft", "step: 1 mm"), "'1 mm' is less than there is; allowed: from 0.3 m"),
        (("step: 10 ft", "step: 9 m"), "'9 m' is more than there is; allowed: up to 6 m"),
        (("title: ", 'title: "\\e[2J" #'), "title: a name with the control character U+001B"),
        (("note: ", 'note: "\\e[2J" #'), "note: a name with the control character U+001B"),
        (('  - "None of these', '  - "\\e[2J'), "cautions › item 3: a name with the control character U+001B"),
        (('  - "before the start', '  - "\\u202E'), "rechecks › item 1: a name with the control character U+202E"),
        (('source: "49 CFR 393.102(a)(1) [read]"', 'source: "\\e"'), "source: a name with the control character"),
    ],
)
def test_a_rule_set_that_asks_too_little_is_refused(tmp_path: Path, change: tuple[str, str], told: str) -> None:
    assert "club" in Catalog([own_folder(tmp_path / "sound", "rules/club.yaml", RULES)]).rule_sets
    assert change[0] in RULES
    with pytest.raises(InputFaults) as caught:
        Catalog([own_folder(tmp_path, "rules/club.yaml", RULES.replace(*change))])
    assert told in str(caught.value)


@pytest.mark.parametrize(
    ("way", "pushes", "told"),
    [
        ("forward", ("0.8, 0, 0", "0.435, 0, 0"), "no case pushes forward by 0.5 g or more"),
        ("rearward", ("-0.5, 0, 0", "-0.5, 0, 0"), "no case pushes rearward by 0.25 g or more"),
        ("left", ("0, 0.5, 0", "0, 0.25, 0"), "no case pushes left by 0.25 g or more"),
        ("right", ("0, -0.5, 0", "0, -0.25, 0"), "no case pushes right by 0.25 g or more"),
    ],
)
def test_a_rule_set_pushes_as_hard_as_a_road(tmp_path: Path, way: str, pushes: tuple[str, str], told: str) -> None:
    text = RULES
    for push in pushes:
        weak = push.replace("0.8", "0.45").replace("0.5", "0.2").replace("0.25", "0.2")
        text = text.replace(f"case: {way}, level: breaking, acceleration: [{push}]", f"case: {way}, level: breaking, "
                            f"acceleration: [{weak}]")  # fmt: skip
        text = text.replace(f"case: {way}, level: working, acceleration: [{push}]", f"case: {way}, level: working, "
                            f"acceleration: [{weak}]")  # fmt: skip
    assert text != RULES
    with pytest.raises(InputFaults, match=told):
        Catalog([own_folder(tmp_path, "rules/club.yaml", text)])


@pytest.mark.parametrize(
    ("table", "name", "change", "told"),
    [
        ("panels", "softwood-plywood", {"E": "1e-300 Pa"}, "E: '1e-300 Pa' is less than there is; allowed: from 0.5"),
        ("panels", "softwood-plywood", {"G": 0}, "G: this should be greater than or equal to 0.2"),
        ("panels", "softwood-plywood", {"G": 1.3}, "G: this should be less than or equal to 1.2"),
        ("panels", "softwood-plywood", {"MOR_cov": 1}, "MOR_cov: this should be less than or equal to 0.5"),
        ("panels", "softwood-plywood", {"rolling_shear_cov": 0.51}, "should be less than or equal to 0.5"),
        ("panels", "softwood-plywood", {"MOR_mean": "0.9 MPa"}, "MOR_mean: '0.9 MPa' is less than there is"),
        ("panels", "softwood-plywood", {"MOR_mean": "250 MPa"}, "MOR_mean: '250 MPa' is more than there is"),
        ("panels", "softwood-plywood", {"F_b": "40 MPa"}, "F_b is greater than MOR_mean"),
        ("panels", "softwood-plywood", {"F_s": "2 MPa"}, "F_s is greater than rolling_shear_mean"),
        ("panels", "softwood-plywood", {"density": "20000 kg/m3"}, "density: '20000 kg/m3' is more than there is"),
        ("panels", "softwood-plywood", {"G": 0.6}, "G is more than the density allows"),  # 3 psf/in: 577 kg/m³
        ("panels", "softwood-plywood", {"sections": []}, "sections"),
        ("panels", "softwood-plywood", {"label": "\u202e"}, "label: a name with the control character"),
        ("conditions", "wet", {"lateral": 0}, "lateral is below 0.01: wood that keeps so little has carries: false"),
        ("conditions", "decayed", {"carries": True}, "withdrawal is below 0.01"),
        ("steels", "mild", {"F_y": "49 MPa"}, "F_y: '49 MPa' is less than there is; allowed: from 50 MPa"),
        ("steels", "mild", {"E": "1 GPa"}, "E: '1 GPa' is less than there is; allowed: from 40 GPa"),
        ("threads", "1/2-13", {"pitch": "0.17 in"}, "pitch is not between 0.033 and 0.33 times D"),
        ("threads", "1/2-13", {"pitch": "1 m"}, "pitch is not between 0.033 and 0.33 times D"),
        ("threads", "1/2-13", {"d_nut": "1.3 in"}, "d_nut is not between 1.2 and 2.5 times D"),
        ("threads", "1/2-13", {"d_nut": "0.5 in"}, "d_nut is not between 1.2 and 2.5 times D"),
        ("threads", "1/2-13", {"nut_height": "1.6 in"}, "nut_height is not between 0.2 and 3 times D"),
        ("threads", "1/2-13", {"locking_nut_height": "9 m"}, "locking_nut_height is not between 0.2 and 3 times D"),
        ("threads", "1/2-13", {"D": "61 mm"}, "D: '61 mm' is more than there is; allowed: up to 60 mm"),
        ("screws", "#14 wood screw", {"D_head": "5 m"}, "D_head is not between 1 and 5 times D"),
        ("screws", "#14 wood screw", {"D": "1 m"}, "D: '1 m' is more than there is; allowed: up to 60 mm"),
        ("screws", "#14 wood screw", {"thread_fraction": 0}, "should be greater than or equal to 0.1"),
        ("straps", "webbing 2 in", {"rated": "10000 lbf"}, "rated is more than any webbing of that width is rated"),
        ("straps", "chain 3/8 in grade 70", {"rated": "60 kN"}, "rated is more than any chain of that size is rated"),
        ("straps", None, {"grade": "\x1b[2J"}, "grade: a name with the control character U+001B"),
    ],
)
def test_no_row_of_ones_own_is_beyond_nature(
    tmp_path: Path, table: str, name: str | None, change: dict[str, object], told: str
) -> None:
    rows = yaml.safe_load((data_folder("tables") / f"{table}.yaml").read_bytes())
    # under the size, pitch or grade of another row it would be that row's twin
    own = {"threads": {"pitch": "0.08 in"}, "screws": {"size": "mine"}, "straps": {"grade": "mine"}}
    row = {**next(row for row in rows if name in (None, row["name"])), "name": "mine", **own.get(table, {})}

    def catalog_of(folder: str, row: dict[str, object]) -> Catalog:
        return Catalog([own_folder(tmp_path / folder, f"{table}.yaml", yaml.safe_dump([row]))])

    assert "mine" in getattr(catalog_of("sound", row), table)
    with pytest.raises(InputFaults) as caught:
        catalog_of("faulty", {**row, **change})
    assert told in str(caught.value)


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"S_par": "0 mm3/mm"}, "every panel carries along its face grain"),
        ({"I_par": "0 mm4/mm"}, "every panel carries along its face grain"),
        ({"IbQ_par": "0 mm2/mm"}, "every panel carries along its face grain"),
        ({"S_perp": "0 mm3/mm"}, "are all 0, as of planks, or none of them is"),
        ({"thickness": "0.2 mm"}, "is less than there is; allowed: from 3 mm"),
    ],
)
def test_a_panel_carries_along_its_grain_and_across_it_wholly_or_not(change: dict[str, str], told: str) -> None:
    section = {"I_par": "6 mm4/mm", "S_par": "3 mm3/mm", "IbQ_par": "4 mm2/mm", "source": "mine", "thickness": "6 mm",
               "I_perp": "0 mm4/mm", "S_perp": "0 mm3/mm", "IbQ_perp": "0 mm2/mm"}  # fmt: skip
    assert PanelSection.model_validate(section).S_perp == 0.0
    if "S_perp" in change:
        section.update(I_perp="1 mm4/mm", IbQ_perp="2 mm2/mm")
    with pytest.raises(ValueError, match=told):
        PanelSection.model_validate({**section, **change})


def test_a_rule_set_must_push_all_ways(tmp_path: Path) -> None:
    some = "\n".join(line for line in RULES.splitlines() if "case: left" not in line)
    with pytest.raises(InputFaults, match="cases lacks left"):
        Catalog([own_folder(tmp_path, "rules/club.yaml", some)])


def test_a_broken_install_names_the_missing_folder(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    lone = tmp_path / "site" / "anchorcalc" / "resources.py"
    lone.parent.mkdir(parents=True)
    lone.touch()
    (tmp_path / "site" / "tables").mkdir()  # a stranger's folder of that name, no project file beside it
    monkeypatch.setattr("anchorcalc.resources.__file__", str(lone))
    with pytest.raises(FileNotFoundError, match="lacks its folder 'tables'"):
        data_folder("tables")
    (tmp_path / "site" / "pyproject.toml").touch()
    assert data_folder("tables") == tmp_path / "site" / "tables"
