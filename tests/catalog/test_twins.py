"""Rows of one's own add to the tables: none takes the place of another under a name of its own."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
import yaml

from anchorcalc.catalog.tables import Catalog
from anchorcalc.reading.faults import InputFaults
from anchorcalc.resources import data_folder

INCH = 0.0254
LBF = 4.4482216152605
SAME = {
    "screws": "kind and size",
    "threads": "series, diameter and pitch",
    "washers": "bolt, size and steel",
    "members": "shape, size and thickness",
    "straps": "kind, size and grade",
}


def shipped(table: str, name: str) -> dict[str, Any]:
    rows = yaml.load((data_folder("tables") / f"{table}.yaml").read_bytes(), Loader=yaml.BaseLoader)
    found = next(row for row in rows if row["name"] == name)
    assert isinstance(found, dict)
    return found


def catalog_with(folder: Path, table: str, *rows: Mapping[str, Any]) -> Catalog:
    folder.mkdir(exist_ok=True)
    (folder / f"{table}.yaml").write_text(yaml.safe_dump([dict(row) for row in rows]), encoding="utf-8")
    return Catalog([folder])


@pytest.mark.parametrize(
    ("table", "name", "stronger", "apart"),
    [
        ("screws", "#14 wood screw", {"F_u": "150 ksi"}, {"size": "#14 hardened"}),
        ("screws", "#12 self-drilling", {"D_head": "0.6 in", "size": "# 12"}, {"size": "#12 wafer"}),
        ("screws", "1/2 in lag screw", {"size": "1/2 IN"}, {"kind": "wood screw", "lengths": [], "threads": []}),
        ("threads", "1/2-13", {"d_nut": "1.2 in"}, {"pitch": "0.05 in"}),
        ("threads", "M10", {"d_nut": "24 mm", "D": "10.05 mm"}, {"pitch": "1.25 mm"}),
        ("washers", "large 3/8-16 x 2", {"thickness_least": "0.0625 in"}, {"steel": "304"}),
        ("washers", "large M12", {"inside": "12.1 mm"}, {"thickness": "4 mm"}),
        ("members", "angle-2x2x1/8", {"S": "0.131 in3"}, {"thickness": "0.13 in"}),
        ("straps", "webbing 2 in", {"rated": "5800 lbf"}, {"grade": "EN 12195-2"}),
        ("straps", "webbing 2 in", {"rated": "5800 lbf", "size": "2.03 in"}, {"size": "2.1 in"}),
        ("straps", "chain 3/8 in grade 70", {"rated": "8000 lbf", "size": "9.6 mm"}, {"size": "10 mm"}),
    ],
)
def test_a_stronger_row_under_another_name_is_refused(
    tmp_path: Path, table: str, name: str, stronger: dict[str, Any], apart: dict[str, Any]
) -> None:
    row = {**shipped(table, name), "name": "mine", **stronger}
    with pytest.raises(InputFaults) as caught:
        catalog_with(tmp_path / "twin", table, row)
    (fault,) = caught.value.faults
    assert fault.path == (0, "name")
    where = f"{name!r} in the shipped {table}.yaml, under another name"
    assert fault.message.startswith(f"'mine' has the {SAME[table]} of {where}")
    found = getattr(catalog_with(tmp_path / "apart", table, {**row, **apart}), table)
    assert {"mine", name} <= found.keys()


@pytest.mark.parametrize("table", SAME)
def test_no_two_shipped_rows_are_twins(table: str, catalog: Catalog) -> None:
    rows = getattr(catalog, table).values()
    assert [(one.name, other.name) for one, other in combinations(rows, 2) if one.is_twin_of(other)] == []


def test_rows_without_a_size_are_told_apart_by_name(tmp_path: Path) -> None:
    assert "my mild" in catalog_with(tmp_path, "steels", {**shipped("steels", "mild"), "name": "my mild"}).steels


def test_twins_in_one_file_and_of_two_folders(tmp_path: Path) -> None:
    first = {**shipped("screws", "#14 wood screw"), "name": "a", "size": "#14 hardened"}
    second = {**first, "name": "b"}
    with pytest.raises(InputFaults, match="item 2 › name: 'b' has the kind and size of 'a' in this file"):
        catalog_with(tmp_path / "both", "screws", first, second)
    for folder, row in (("one", first), ("two", second)):
        catalog_with(tmp_path / folder, "screws", row)
    with pytest.raises(InputFaults) as caught:
        Catalog([tmp_path / "one", tmp_path / "two"])
    assert f"of 'a' in {tmp_path / 'one' / 'screws.yaml'}" in str(caught.value)


def test_an_unmarked_strap_is_the_weakest_of_its_size(tmp_path: Path) -> None:
    # A grade of one's own a hair wider than the shipped size is not what an unmarked chain counts as.
    own = {**shipped("straps", "chain 3/8 in grade 70"), "name": "mine", "grade": "mine", "size": "0.38 in"}
    catalog = catalog_with(tmp_path, "straps", own)
    assert catalog.strap("chain", 3 / 8 * INCH, None).rated == pytest.approx(2650 * LBF)  # 49 CFR 393.108, grade 30
    assert catalog.strap("chain", 3 / 8 * INCH, "mine").rated == pytest.approx(6600 * LBF)


def test_a_panel_has_one_row_for_each_thickness(tmp_path: Path) -> None:
    panel = {**shipped("panels", "osb"), "name": "mine"}
    assert "mine" in catalog_with(tmp_path / "sound", "panels", panel).panels
    doubled = {**panel, "sections": [*panel["sections"], {**panel["sections"][0], "I_par": "0.05 in4/ft"}]}
    with pytest.raises(InputFaults, match="sections has one thickness twice"):
        catalog_with(tmp_path / "doubled", "panels", doubled)


@pytest.mark.parametrize(
    ("table", "value", "kind"),
    [("factors", ["1", "2"], "a list"), ("factors", {"a": "1"}, "keys with values"), ("fitting_factors", [], "a list")],
)
def test_a_factor_is_one_value(tmp_path: Path, table: str, value: Any, kind: str) -> None:
    row = {"name": "mine", "value": value, "dimension": "number", "why": "w", "source": "s"}
    with pytest.raises(InputFaults) as caught:
        catalog_with(tmp_path, table, row)
    (fault,) = caught.value.faults
    assert fault.path == (0, "value")
    assert fault.message == f"one value is wanted here, not {kind}"
    assert catalog_with(tmp_path, table, {**row, "value": "2.5"}) is not None


def test_numbers_of_the_shipped_factors_are_what_is_written(catalog: Catalog) -> None:
    assert catalog.factor("steadying_friction") == 0.3
    assert catalog.factor("member_bed") == 8.0e8
    assert catalog.factor("ec5_bearing_factor") == 3
