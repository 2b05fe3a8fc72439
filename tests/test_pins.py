"""Figures of the tables that decide a strength, against the same figures written down apart from them.

`tests/pins.yaml` has them as the source prints them, in its units; what it leaves out is named there with a reason.
Units are pint's own, so that a wrong unit of the program's cannot hide.
"""

from __future__ import annotations

from collections.abc import Iterator
from fnmatch import fnmatchcase
from itertools import product
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import yaml

from anchorcalc.catalog.tables import Catalog
from anchorcalc.proof.published import si
from anchorcalc.resources import data_folder
from tests.catalog.test_tables import TAG

PINS = yaml.safe_load(Path(__file__).with_name("pins.yaml").read_text(encoding="utf-8"))

# What decides how much something holds, by table.
DECIDING = {
    "bolt_grades": ("proof", "yield_strength", "tensile", "up_to"),
    "threads": ("D", "pitch", "d_nut", "nut_height", "locking_nut_height"),
    "steels": ("F_y", "F_u", "E", "density"),
    "washers": ("inside", "outside", "thickness", "thickness_least"),
    "screws": ("D", "D_root", "D_head", "F_u", "thread_fraction"),  # F_yb, lag threads: tests/catalog/test_tables.py
    "members": ("depth", "width", "thickness", "S", "web"),
    "timber": ("G", "E", "F_b", "bending_5", "F_v", "shear_5", "bearing_allowable", "f_c90_k"),
    "straps": ("rated", "stretch", "hand_tension"),
    "panels": (
        "G", "E", "MOR_mean", "MOR_cov", "F_b", "rolling_shear_mean", "rolling_shear_cov", "F_s", "bearing_allowable",
        "f_c90_k", "dowel_bearing", "density",
    ),
    "conditions": ("withdrawal", "lateral", "pull_through", "bearing", "bending", "rolling_shear"),
    "panel_sections": ("I_par", "S_par", "IbQ_par", "I_perp", "S_perp", "IbQ_perp"),
    "factors": ("value",),
    "fitting_factors": ("value",),
    "bolt_lengths": ("lengths", "thread_short", "thread_long", "short_up_to"),
    "plates": ("thicknesses", "sides", "in_shops_up_to"),
    "yardsticks": ("per_point", "tested_times", "above", "up_to"),
    "rules": (
        "duration_factor", "design_factor", "pass_below", "fail_above",
        "rule_of_thumb.fraction_of_weight", "rule_of_thumb.direct_counts", "rule_of_thumb.over_counts",
        "rule_of_thumb.loop_counts", "older_rule.breaking_over_weight",
        "general.short_length", "general.short_weight", "general.step",
        "light_vehicle.least", "light_vehicle.least_each_end", "light_vehicle.recommended", "heavy.least",
    ),
    "breaking_over_rated": ("webbing", "chain", "wire rope", "rope", "hardware"),
}  # fmt: skip


def rows_of(table: str) -> dict[str, dict[str, Any]]:
    """Rows as they are written, by name."""
    folder = data_folder("tables")
    if table in ("rules", "breaking_over_rated"):
        rules = [yaml.safe_load(path.read_bytes()) for path in (folder / "rules").glob("*.yaml")]
        return {each["name"]: each if table == "rules" else each[table] for each in rules}
    file = "panels" if table == "panel_sections" else table
    rows = yaml.safe_load((folder / f"{file}.yaml").read_bytes())
    if table == "panel_sections":
        return {f"{row['name']} {each['thickness']}": each for row in rows for each in row["sections"]}
    return {row["name"]: row for row in rows}


ROWS = {table: rows_of(table) for table in DECIDING}


def written(table: str, row: str, field: str) -> Any:
    """A figure as it stands in its table; dots lead into what a field holds."""
    found = ROWS[table][row]
    for key in field.split("."):
        found = found[key]
    return found.replace("psf", "lbf/ft2") if isinstance(found, str) else found  # pint has no psf


def figures_of(table: str) -> set[tuple[str, str, str]]:
    """Table, row and field of every figure that decides, as far as a row has it."""
    found = set()
    for row, field in product(ROWS[table], DECIDING[table]):
        try:
            written(table, row, field)
        except KeyError:
            continue
        found.add((table, row, field))
    return found


def pinned(group: dict[str, Any]) -> Iterator[tuple[str, str, str, Any]]:
    """Table, row, field, and figure as in the source, of a group of pins; a `*` stands for many rows."""
    table = group.get("within_field", group["table"])
    for pattern, figures in group["rows"].items():
        rows = [row for row in ROWS[table] if fnmatchcase(row, pattern)] if "*" in pattern else [pattern]
        assert rows, f"no row is named like {pattern}"
        for row in rows:
            for field, figure in zip(group["fields"], figures, strict=True):
                yield table, row, field, figure


@pytest.mark.parametrize("group", PINS["pins"], ids=lambda group: f"{group['table']}, {group['source'][:40]}")
def test_figures_are_the_sources(group: dict[str, Any]) -> None:
    within = float(str(group.get("within", "0.1 %")).removesuffix("%")) / 100
    assert within <= 0.006, "a wider one would let a wrong figure pass"
    found = {(row, field): (si(written(table, row, field)), si(figure)) for table, row, field, figure in pinned(group)}
    assert {place: both for place, both in found.items() if both[0] != pytest.approx(both[1], rel=within)} == {}


def left_out(table: str, row: str, field: str) -> bool:
    return any(
        each["table"] == table and fnmatchcase(row, each["rows"]) and (each["fields"] == "*" or field in each["fields"])
        for each in PINS["left_out"]
    )


def test_every_figure_that_decides_a_strength_is_pinned_or_left_out_with_a_reason() -> None:
    known = {place[:3] for group in PINS["pins"] for place in pinned(group)}
    wanted = set().union(*map(figures_of, DECIDING))
    assert known <= wanted
    assert {each for each in wanted - known if not left_out(*each)} == set()
    assert {each for each in known if left_out(*each)} == set(), "pinned and left out"


def test_every_reason_still_leaves_something_out() -> None:
    for each in PINS["left_out"]:
        assert each["why"].strip()
        assert any(fnmatchcase(row, each["rows"]) for row in ROWS[each["table"]]), each


def test_every_pin_says_where_it_is_from() -> None:
    for group in PINS["pins"]:
        assert TAG.search(group["source"]), group["source"]
        assert "within_field" in group or group["table"] in DECIDING


def test_what_the_catalog_reads_is_what_is_pinned() -> None:
    """The figures above are compared as they are written; the program reads the same."""
    catalog = Catalog()
    for table in ("bolt_grades", "threads", "steels", "washers", "screws", "members", "straps", "panels"):
        for name, row in getattr(catalog, table).items():
            for field in ROWS[table][name].keys() & set(DECIDING[table]) - {
                "density"
            }:  # a mass in some, a weight in the program
                assert getattr(row, field) == pytest.approx(si(ROWS[table][name][field]), rel=1e-9), (name, field)
    for name, factor in catalog.factors.items():
        assert factor.number == pytest.approx(si(ROWS["factors"][name]["value"]), rel=1e-9), name


@pytest.mark.parametrize("name", [name for name in ROWS["members"] if name.startswith(("tube", "angle"))])
def test_members_are_as_large_as_their_names_say(name: str) -> None:
    depth, width, _ = name.split("-", 1)[1].removesuffix("ga").split("x")
    unit = "mm" if float(depth) > 10 else "in"
    row = ROWS["members"][name]
    assert (si(row["depth"]), si(row["width"])) == pytest.approx((si(f"{depth} {unit}"), si(f"{width} {unit}")))


@pytest.mark.parametrize("name", ["5 mm wood screw", "6 mm wood screw", "8 mm wood screw"])
def test_metric_wood_screws_are_no_thicker_than_their_standard_lets_them_be(name: str) -> None:
    """EN 14592: inner diameter 0.6 to 0.9 of the outer; screws in the trade have roots of 0.64 to 0.70 diameters and
    heads of twice the diameter, of 8 mm less [from memory]: the low end of both.
    """
    D, root, head = (si(ROWS["screws"][name][field]) for field in ("D", "D_root", "D_head"))
    assert 0.63 < root / D < 0.67
    assert 1.7 < head / D <= (2.0 if D < 7e-3 else 1.8)


def plies(thickness: float, across: bool) -> list[tuple[float, float]]:
    """Lower and upper face of the plies that run along, or across, the face grain, from the middle [mm]."""
    count = round(thickness / 1.5) + 1 if thickness != 9 else 7
    t = thickness / count
    faces = [(-thickness / 2 + i * t, -thickness / 2 + (i + 1) * t) for i in range(count)]
    return faces[1::2] if across else faces[0::2]


@pytest.mark.parametrize("thickness", [9, 12, 15, 18, 21, 24, 27, 30])
@pytest.mark.parametrize("across", [False, True])
def test_birch_sections_are_those_of_their_plies(thickness: int, across: bool) -> None:
    """I = Σ (z₂³ − z₁³)/3 of the plies that count, S = I over the outermost of them, Ib/Q = I over Σ (z₂² − z₁²)/2.

    Q is that of the counted plies wholly above the middle, which a cross ply rolls under. By hand for 9 mm along:
    plies of 9/7 mm from 0.643 to 1.929 and from 3.214 to 4.5 mm count on either side, so that
    I = 2 (1.929³ − 0.643³ + 4.5³ − 3.214³)/3 = 43.2, S = 43.2/4.5 = 9.60, Q = 6.61, Ib/Q = 6.54.
    """
    counted = plies(thickness, across)
    inertia = sum((b**3 - a**3) / 3 for a, b in counted)
    above = sum((b**2 - a**2) / 2 for a, b in counted if a > 0)
    side = "perp" if across else "par"
    written = ROWS["panel_sections"][f"birch-plywood {thickness} mm"]
    row = {field: si(written[field]) for field in DECIDING["panel_sections"]}
    assert row[f"I_{side}"] == pytest.approx(1e-9 * inertia, rel=1e-3)
    assert row[f"S_{side}"] == pytest.approx(1e-6 * inertia / max(b for _, b in counted), rel=1e-3)
    assert row[f"IbQ_{side}"] == pytest.approx(1e-3 * inertia / above, rel=1e-3)


def test_planks_carry_nothing_across() -> None:
    planks = {name: row for name, row in ROWS["panel_sections"].items() if name.startswith("sawn-planks")}
    assert len(planks) == 8
    assert not any(si(row[field]) for row in planks.values() for field in ("I_perp", "S_perp", "IbQ_perp"))


@pytest.mark.parametrize("name", [name for name, row in ROWS["members"].items() if row["shape"] == "tube"])
def test_tubes_are_their_cross_section(name: str) -> None:
    """S of a tube with corners of radius 2 t outside and t inside, by slices of its depth."""
    row = {key: si(value) for key, value in ROWS["members"][name].items() if key in ("depth", "width", "thickness")}
    h, w, t = row["depth"], row["width"], row["thickness"]
    z = (np.arange(200_000) + 0.5) / 200_000 * h - h / 2

    def chord(depth: float, width: float, radius: float) -> np.ndarray:
        """Width of a rounded rectangle at each slice."""
        beyond = np.clip(np.abs(z) - (depth / 2 - radius), 0, radius)
        full = width - 2 * radius + 2 * np.sqrt(radius**2 - beyond**2)
        return np.where(np.abs(z) < depth / 2, full, 0.0)

    steel = chord(h, w, 2 * t) - chord(h - 2 * t, w - 2 * t, t)
    S = float((steel * z**2).sum()) * h / len(z) / (h / 2)
    assert si(ROWS["members"][name]["S"]) == pytest.approx(S, rel=1e-3)
