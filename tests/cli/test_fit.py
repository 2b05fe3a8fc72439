"""``fit`` as people use it: exit status, 80 columns, both units, JSON, odd names."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
import yaml

from tests.cli.test_commands import run
from tests.conftest import SCENARIOS, Texts, edited, roadster
from tests.test_startup import HEAVY, modules_after


def written(tmp_path: Path, texts: Texts) -> str:
    path = tmp_path / "trailer.yaml"
    path.write_text(yaml.safe_dump(texts, allow_unicode=True, sort_keys=False), encoding="utf-8")
    return str(path)


def in_the_way() -> Texts:
    return edited(roadster(), "anchors", "rear left", "at", value=["22 in", "34 in"])


def full() -> Texts:
    """Everything a sheet can show: taper, zones, joints, cut-out, axle and hitch, an overload."""
    texts = in_the_way()
    texts["deck"].update(
        width_front="79 in",
        no_go=[{"name": "brake line", "corner": ["10 in", "36 in"], "opposite": ["30 in", "38 in"]}],
        wheel_wells=[{"name": "left", "corner": ["80 in", "36 in"], "opposite": ["110 in", "44 in"]}],
    )
    texts["deck"]["layers"][0]["joints_across"] = ["96 in"]
    texts["mountings"]["plated"]["cut_out"] = ["2 1/2 in", "2 1/2 in"]
    texts["mountings"]["plated"]["fasteners"]["length"] = "2 1/2 in"
    texts["anchors"]["rear right"]["mounting"] = "bridge bars"
    texts["anchors"]["front right"]["mounting"] = "four screws"
    texts["trailer"] = {
        "empty_weight": "2900 lb", "gross_rating": "4500 lb", "axle_rating": "4000 lb",
        "axle_at": "80 in", "hitch_at": "240 in",
    }  # fmt: skip
    return texts


def test_status_is_0_when_nothing_is_in_the_way() -> None:
    done = run("fit", "roadster")
    assert done.returncode == 0
    assert done.stdout.startswith("READY  strength and rules: PASS; room and parts: in order\n")


def test_what_fits_but_does_not_hold_is_not_ready() -> None:
    done = run("fit", "roadster-screws")
    assert done.returncode == 1
    assert done.stdout.startswith("NOT STRONG ENOUGH  strength and rules: FAIL, see check; room and parts: in order\n")
    data = json.loads(run("fit", "roadster-screws", "--format", "json").stdout)
    assert (data["ready"], data["strength_verdict"], data["fits"]) == (False, "fail", True)


NOT_BUILT = "CANNOT BE BUILT AS WRITTEN: see In the way; nothing else fails"
TOO_WEAK = "NOT STRONG ENOUGH  strength and rules: FAIL, see check; room and parts: NOT in"
NOT_YET = "NOT YET  strength and rules: MARGINAL, see check; room and parts: NOT in"


def test_what_holds_by_too_little_is_not_ready(tmp_path: Path) -> None:
    texts = roadster()
    del texts["straps"]["front left"]["rated"]  # nobody rated it: marginal at best
    done = run("fit", written(tmp_path, texts))
    assert done.returncode == 1
    assert done.stdout.startswith("NOT YET  strength and rules: MARGINAL, see check; room and parts: in order\n")


@pytest.mark.parametrize(
    ("place", "value", "head", "says"),
    [
        (
            ("anchors", "rear left", "at"),
            ["22 in", "34 in"],
            NOT_BUILT,
            "plate over cross-member 2 from the rear by 2 in",
        ),
        (("trailer", "gross_rating"), "4000 lb", TOO_WEAK, "ABOVE the gross rating"),
        (("mountings", "plated", "fasteners", "length"), "2 in", TOO_WEAK, "does not take the stack"),
        (("mountings", "plated", "backing", "size"), ["4 1/2 in", "6 in"], NOT_YET, "TOO SMALL"),
    ],
)
def test_status_is_1_for_a_conflict_or_an_overload(
    tmp_path: Path, place: tuple[str, ...], value: Any, head: str, says: str
) -> None:
    """What is in the way breaks one of the rules that `check` looks at too."""
    done = run("fit", written(tmp_path, edited(roadster(), *place, value=value)))
    assert done.returncode == 1
    assert done.stdout.startswith(head)
    assert says in done.stdout


def test_status_is_2_for_a_refused_file(tmp_path: Path) -> None:
    done = run("fit", written(tmp_path, edited(roadster(), "deck", "width", value="80")))
    assert done.returncode == 2
    assert "width" in done.stderr
    assert done.stdout == ""


def test_the_nearest_clear_place_is_told(tmp_path: Path) -> None:
    done = run("fit", written(tmp_path, in_the_way()))
    assert "rear left: nearest clear place: 20 in from the rear" in done.stdout


def test_the_place_beside_a_neighbour_is_told_where_the_plate_touches_a_member(tmp_path: Path) -> None:
    texts = roadster()
    texts["mountings"]["plated"]["backing"]["size"] = ["6 in", "10 in"]
    for name, x in (("rear left", "20 in"), ("front left", "172 in")):
        texts["anchors"][name]["at"] = [x, "30 in"]
        texts["anchors"][f"{name} 2"] = {"at": [x, "24 in"], "mounting": "plated"}
    done = run("fit", written(tmp_path, texts))
    assert "rear left: plate over plate of anchor rear left 2 by 4 in" in done.stdout
    assert "rear left: nearest clear place: 14 in from the rear, or 34 in left" in done.stdout
    assert "front left: nearest clear place: 178 in from the rear, or 34 in left" in done.stdout


@pytest.mark.parametrize("units", ["us", "si"])
def test_everything_fits_into_80_columns(tmp_path: Path, units: str) -> None:
    done = run("fit", written(tmp_path, full()), "--units", units)
    assert done.returncode == 1
    assert max(len(line) for line in done.stdout.splitlines()) <= 80
    for head in ("In the way", "Order of work", "To buy", "Weights", "On axle and hitch", "Measuring", "Cautions"):
        assert head in done.stdout
    assert ("lbf ft" in done.stdout) == (units == "us")
    assert ("N m" in done.stdout) == (units == "si")


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_json_of_every_scenario_is_strict(path: Path) -> None:
    done = run("fit", str(path), "--format", "json")
    data = json.loads(done.stdout, parse_constant=lambda text: pytest.fail(f"{text} in JSON"))
    assert data["ready"] == (done.returncode == 0) == (data["fits"] and data["strength_verdict"] == "pass")
    verdict = json.loads(run("check", str(path), "--format", "json").stdout)["verdict"]
    assert data["strength_verdict"] == verdict
    assert {"schema", "places", "mountings", "shopping", "weights", "measuring", "assumed", "cautions"} <= set(data)


def test_json_of_a_full_sheet_says_what_the_screen_says(tmp_path: Path) -> None:
    done = run("fit", written(tmp_path, full()), "--format", "json")
    data = json.loads(done.stdout)
    rear_left = next(place for place in data["places"] if place["anchor"] == "rear left")
    over = next(conflict for conflict in rear_left["conflicts"] if conflict["part"] == "plate")
    assert over["obstacle"] == "cross-member 2 from the rear"
    assert over["kind"] == "overlaps"
    assert over["gap_m"] == pytest.approx(-2 * 0.0254)
    assert data["weights"]["overloaded"]
    assert data["weights"]["balance"]["hitch_of_load"] == pytest.approx(0.1)
    assert {mounting["mounting"] for mounting in data["mountings"]} == {"plated", "bridge bars", "four screws"}


def test_json_loads_no_screen() -> None:
    loaded = modules_after("fit", "roadster", "--format", "json")
    assert "numpy" in loaded
    assert loaded.isdisjoint([name for name in HEAVY if name != "scipy"])


def test_a_bar_without_a_second_member_is_told_in_words_and_as_null(tmp_path: Path) -> None:
    texts = roadster()
    texts["deck"]["cross_members"].update(first_at="150 in", spacing="50 in")
    texts["anchors"] = {"front left": {"at": ["172 in", "34 in"], "mounting": "bridge bars"}}
    texts["straps"] = {"front left": texts["straps"]["front left"]}
    file = written(tmp_path, texts)
    assert "there is no bay between two cross-members" in run("fit", file).stdout
    (place,) = json.loads(run("fit", file, "--format", "json").stdout)["places"]
    assert place["conflicts"][0]["gap_m"] is None
    assert place["clear_along_m"] is None


def test_a_hitch_that_is_lifted_is_told_without_negative_weights(tmp_path: Path) -> None:
    texts = roadster()
    texts["trailer"].update(axle_at="150 in", hitch_at="300 in")
    done = run("fit", written(tmp_path, texts))
    assert "The load's weight sits 54 in BEHIND the axle: that takes 36 % of it off" in done.stdout
    # 0.36 × 1650 lb, and of the added layer and hardware; less 290 to 435 lb of the empty trailer
    assert "Loaded, the hitch is LIFTED by 2" in done.stdout
    assert "-" not in next(line for line in done.stdout.splitlines() if "LIFTED" in line).removeprefix("  - ")


def test_odd_names_stay_harmless(tmp_path: Path) -> None:
    texts = roadster()
    name = "[bold]<b>\"مرساة'" + 150 * "x"
    texts["mountings"][name] = texts["mountings"].pop("plated")
    for anchor in texts["anchors"].values():
        anchor["mounting"] = name
    texts["title"] = name
    done = run("fit", written(tmp_path, texts))
    assert done.returncode == 0
    assert "[bold]<b>" in done.stdout
    assert len(done.stdout) < 12_000
    data = json.loads(run("fit", written(tmp_path, texts), "--format", "json").stdout)
    assert data["title"] == name
