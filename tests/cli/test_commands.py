"""The command line as people use it: as a subprocess, by its output and exit status."""

from __future__ import annotations

import json
import math
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from anchorcalc.cli.overview import COMMANDS
from tests.cli.process import forked
from tests.conftest import SCENARIOS

ROADSTER = next(str(path) for path in SCENARIOS if path.stem == "roadster")


def run(*arguments: str, stdin: str | None = None, **environment: str) -> subprocess.CompletedProcess[str]:
    """Run the command line in a process of its own; a traceback is never acceptable."""
    whole = {**os.environ, "PYTHONUTF8": "1", **environment}
    if any(name.startswith(("PYTHON", "LC_", "LANG")) for name in environment):
        done = started(*arguments, stdin=stdin, environment=whole)
    else:
        done = forked(*arguments, stdin=stdin, environment=whole)
    assert "Traceback" not in done.stderr + done.stdout, done.stderr
    return done


def started(*arguments: str, stdin: str | None, environment: dict[str, str]) -> subprocess.CompletedProcess[str]:
    """The command line as the user's own shell starts it."""
    return subprocess.run(
        [sys.executable, "-m", "anchorcalc", *arguments],
        input=stdin, capture_output=True, text=True, timeout=60, check=False, encoding="utf-8", env=environment,
    )  # fmt: skip


@pytest.mark.parametrize(
    "arguments", [("check", "roadster"), ("check", "orchard-tractor", "--format", "json"), ("--help",)]
)
def test_a_command_that_is_forked_says_what_one_that_is_started_says(arguments: tuple[str, ...]) -> None:
    environment = {**os.environ, "PYTHONUTF8": "1"}
    one, other = (way(*arguments, stdin=None, environment=environment) for way in (started, forked))
    assert (one.returncode, one.stdout, one.stderr) == (other.returncode, other.stdout, other.stderr)


@pytest.mark.parametrize(("scenario", "status"), [("roadster", 0), ("utility-cart-angle", 0), ("orchard-tractor", 1)])
def test_exit_status_tells_the_verdict(scenario: str, status: int) -> None:
    assert run("check", scenario).returncode == status


def test_json_has_the_agreed_keys_and_finite_numbers() -> None:
    done = run("check", ROADSTER, "--format", "json")
    data = json.loads(done.stdout, parse_constant=lambda text: pytest.fail(f"{text} in JSON"))
    assert data["schema"] == 1
    assert {"title", "rules", "verdict", "rule_of_thumb", "cases", "anchors", "assumed", "cautions"} <= set(data)
    assert set(data["rule_of_thumb"]) >= {"required_N", "provided_N", "utilisation", "verdict"}
    case = data["cases"][0]
    assert set(case) >= {"case", "level", "acceleration_g", "held", "straps", "utilisation", "verdict"}
    assert set(case["straps"][0]) >= {"strap", "tension_N", "limit_N", "utilisation", "weakest_link"}
    anchor = data["anchors"][0]
    assert set(anchor) >= {
        "anchor", "mounting", "pull_direction", "breaking_N", "working_N", "weakest_link", "links"
    }  # fmt: skip
    assert set(anchor["links"][0]) >= {"link", "breaking_N", "working_N", "source"}
    for case in data["cases"]:
        for strap in case["straps"]:
            if strap["tension_N"] > 1e-6:
                assert math.isclose(strap["utilisation"], strap["tension_N"] / strap["limit_N"], rel_tol=1e-9)


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_json_of_every_scenario_is_strict_json(path: Path) -> None:
    done = run("check", str(path), "--format", "json")
    data = json.loads(done.stdout, parse_constant=lambda text: pytest.fail(f"{text} in JSON"))
    assert done.returncode == (0 if data["verdict"] == "pass" else 1)
    for case in data["cases"]:
        if not case["held"]:
            assert case["verdict"] == "fail"
            assert case["utilisation"] is None


def test_compare_json_has_the_agreed_keys() -> None:
    data = json.loads(run("compare", ROADSTER, "--format", "json").stdout)
    assert data["schema"] == 1
    assert [each["mounting"] for each in data["mountings"]] == [
        "four screws", "bolts and washers", "plated", "bridge bars"
    ]  # fmt: skip
    for each in data["mountings"]:
        assert set(each) == {
            "mounting", "verdict", "breaking_N", "working_N", "weakest_link",
            "rule_of_thumb_utilisation", "worst_case", "worst_utilisation",
        }  # fmt: skip


@pytest.mark.parametrize("command", ["check", "compare"])
def test_piped_output_is_plain_and_eighty_columns_wide(command: str) -> None:
    lines = run(command, ROADSTER).stdout.splitlines()
    assert max(map(len, lines)) <= 80
    assert not any("\x1b" in line or line != line.rstrip() for line in lines)


def test_the_screen_says_verdict_first_then_why() -> None:
    lines = run("check", "roadster-screws", "--all").stdout.splitlines()
    assert lines[0].startswith("FAIL")
    assert lines.index("Why") < lines.index("Anchors, each along its own strap")
    assert any("What would help" in line for line in lines)


def test_units_can_be_chosen() -> None:
    assert " kN" in run("check", ROADSTER, "--units", "si").stdout
    assert " lbf" in run("check", ROADSTER, "--units", "us").stdout


def test_a_scenario_can_come_by_standard_input() -> None:
    text = Path(ROADSTER).read_text(encoding="utf-8")
    by_name = run("check", ROADSTER, COLUMNS="400").stdout
    assert f"anchorcalc fit {ROADSTER}\n" in by_name
    assert run("check", "-", stdin=text, COLUMNS="400").stdout == by_name.replace(ROADSTER, "FILE")
    for more in (["--all"], ["--format", "json"]):
        assert run("check", "-", *more, stdin=text).stdout == run("check", ROADSTER, *more).stdout


def test_an_ascii_terminal_is_no_reason_to_fail() -> None:
    done = run("explain", ROADSTER, "front left", PYTHONIOENCODING="ascii", PYTHONUTF8="0")
    assert done.returncode == 0


def test_explain_gives_formula_figures_and_source() -> None:
    done = run("explain", ROADSTER, "front left", "crushes")
    assert "formula: F = f A / share" in done.stdout
    assert "EN 1995-1-1" in " ".join(done.stdout.split())
    assert "D_eff" in done.stdout


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("chek", "x"), "Did you mean 'check'"),
        (("check", "no-such-file.yaml"), "no-such-file.yaml"),
        (("check",), "Missing argument"),
        (("check", "roadster", "--format", "yaml"), "'yaml' is not one of"),
        (("explain", "roadster", "front lef"), "Did you mean 'front left'"),
        (("explain", "roadster", "front left", "gremlins"), "no link"),
        (("check", "roadster", "--tables", "no-such-folder"), "no-such-folder"),
    ],
)
def test_a_slip_gets_one_clear_message_and_status_two(arguments: tuple[str, ...], words: str) -> None:
    done = run(*arguments)
    assert done.returncode == 2
    assert words in done.stderr
    assert done.stdout == ""


FAULTS: list[tuple[str, str, Any, str]] = [
    ("unknown key", "  steadying_friction: 0.3", "  steadyng_friction: 0.3", "steadying_friction"),
    ("word of a label", "rated: 3333 lbf", "WLL: 3333 lbf", "did you mean 'rated'"),
    ("word of the trade", "hand_tension: 150 lbf", "pre-tension: 150 lbf", "did you mean 'hand_tension'"),
    ("missing key", "  weight: 1650 lb\n", "", "weight"),
    ("bare number", "spacing: 16 in", "spacing: 16", "unit"),
    ("wrong unit", "weight: 1650 lb", "weight: 1650 in", "length"),
    ("decimal comma", "weight: 1650 lb", "weight: '1650,5 lb'", "comma"),
    ("zero thickness", "thickness: 3/16 in", "thickness: 0 in", "out of range"),
    ("negative thickness", "thickness: 3/16 in", "thickness: -3/16 in", "out of range"),
    ("nan", "weight: 1650 lb", "weight: nan lb", "finite"),
    ("duplicate key", "units: us\n", "units: us\nunits: si\n", "units"),
    ("undefined anchor", "{anchor: front left,", "{anchor: front lift,", "front left"),
    ("fastener outside its base", "square: 3 1/4 in", "square: 9 in", "outside"),
    ("unknown condition", "condition: sound", "condition: rotten", "decayed"),
    ("kilograms of mass for a force", "rated: 3333 lbf", "rated: 3333 kg", "kgf"),
]


@pytest.mark.parametrize(("name", "old", "new", "words"), FAULTS, ids=[fault[0] for fault in FAULTS])
def test_bad_input_is_refused_with_file_line_and_key(name: str, old: str, new: str, words: str, tmp_path: Path) -> None:
    text = Path(ROADSTER).read_text(encoding="utf-8")
    assert old in text
    file = tmp_path / "trailer.yaml"
    file.write_text(text.replace(old, new, 1), encoding="utf-8")
    done = run("check", str(file))
    assert done.returncode == 2
    assert done.stdout == ""
    assert "trailer.yaml:" in done.stderr
    assert words in done.stderr
    assert list(tmp_path.iterdir()) == [file]


def test_pounds_of_a_rating_are_pounds_of_force(tmp_path: Path) -> None:
    text = Path(ROADSTER).read_text(encoding="utf-8")
    assert "rated: 3333 lbf" in text
    file = tmp_path / "trailer.yaml"
    file.write_text(text.replace("rated: 3333 lbf", "rated: 3333 lb"), encoding="utf-8")
    done = run("check", str(file), "--format", "json")
    assert done.returncode == 0
    assert done.stdout == run("check", ROADSTER, "--format", "json").stdout


@pytest.mark.parametrize("content", [b"", b"- a\n- b\n", b"\x00\x01\xfe\xff", b"just words\n", b"a: [1, 2\n"])
def test_what_is_no_scenario_is_refused(content: bytes, tmp_path: Path) -> None:
    file = tmp_path / "trailer.yaml"
    file.write_bytes(content)
    done = run("check", str(file))
    assert done.returncode == 2
    assert "trailer.yaml" in done.stderr
    assert done.stdout == ""


def test_several_faults_are_told_together(tmp_path: Path) -> None:
    text = Path(ROADSTER).read_text(encoding="utf-8")
    file = tmp_path / "trailer.yaml"
    file.write_text(text.replace("1650 lb", "1650 in").replace("192 in", "192"), encoding="utf-8")
    done = run("check", str(file))
    assert "weight" in done.stderr
    assert "length" in done.stderr
    assert "2 faults" in done.stderr


def test_the_overview_names_every_command_and_each_has_help_with_examples() -> None:
    overview = run("--help").stdout
    for name, words in COMMANDS.items():
        assert f"  {name} " in overview
        assert words[:30] in overview
        done = run(name, "--help")
        assert done.returncode == 0
        assert "Examples:" in done.stdout


CROSS_FAULTS: list[tuple[str, str, str, str]] = [
    ("overlapping bases", "[172 in, -34 in]", "[170 in, 32 in]", "overlaps"),
    ("bolts in each other's way", "at: {square: 3 1/4 in}", "at: {square: 3/8 in}", "two diameters"),
    ("wheel beside the deck", "[141 in,  27 in]", "[141 in,  46 in]", "wheel"),
    ("rated as high as it breaks", "rated: 1666 lbf", "rated: 1666 lbf, breaking: 1666 lbf", "breaking strength"),
    ("bolt too short", "grade: SAE 5", "grade: SAE 5, length: 1 in", "no nut would fit"),
    ("control characters in a name", "name: roadster", 'name: "road\\e[31mster"', "control character"),
    ("hole out of the base", "at: {square: 3 1/4 in}", "at: {square: 4.4 in}", "breaks out"),
    ("hole out of the plate", "size: [6 in, 6 in]", "size: [3.6 in, 3.6 in]", "its own diameter"),
    ("wheel on a ring", "[141 in,  27 in]", "[172 in,  34 in]", "stands on it"),
    ("text turned round", "name: roadster", 'name: "road\\u202Ester"', "control character"),
]


@pytest.mark.parametrize(("name", "old", "new", "words"), CROSS_FAULTS, ids=[fault[0] for fault in CROSS_FAULTS])
def test_what_cannot_be_built_or_read_is_refused(name: str, old: str, new: str, words: str, tmp_path: Path) -> None:
    text = Path(ROADSTER).read_text(encoding="utf-8")
    assert old in text
    file = tmp_path / "trailer.yaml"
    file.write_text(text.replace(old, new), encoding="utf-8")
    done = run("check", str(file))
    assert done.returncode == 2
    assert words in done.stderr
    assert "\x1b" not in done.stderr


@pytest.mark.parametrize("redirect", [">&-", ">/dev/full", "<&-"])
def test_closed_or_full_streams_get_a_message(redirect: str) -> None:
    file = "-" if redirect == "<&-" else "roadster"
    command = f'"{sys.executable}" -m anchorcalc check {file} {redirect}'
    done = subprocess.run(["bash", "-c", command], capture_output=True, text=True, timeout=60, check=False)
    assert "Traceback" not in done.stderr
    assert done.returncode == 2
    assert done.stderr.strip()


@pytest.mark.parametrize("columns", ["0", "10", "300", "many"])
def test_any_width_keeps_every_figure(columns: str) -> None:
    out = run("check", ROADSTER, COLUMNS=columns).stdout
    figures = {word for word in run("check", ROADSTER).stdout.split() if word.replace(",", "").isdigit()}
    assert figures <= set(out.split())


def test_help_prints_its_examples_line_by_line() -> None:
    out = run("check", "--help").stdout
    assert "\\b" not in out
    assert "\n    anchorcalc check my-trailer.yaml\n" in out
