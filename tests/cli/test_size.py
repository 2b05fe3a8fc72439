"""`size` as people use it: exit status, screen, JSON, picture, and what is refused."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.test_commands import run


def test_screen_says_the_smallest_first_and_passes() -> None:
    done = run("size", "roadster", "--needed")
    assert done.returncode == 0
    assert done.stdout.startswith("PASS")
    assert "Smallest first" in done.stdout
    assert "washers 1 in" in done.stdout
    assert done.stderr == ""


def test_the_mounting_is_quoted_and_without_a_word_it_is_what_is_needed() -> None:
    done = run("size", "roadster", "--anchor", "front left")
    assert done.returncode == 0
    assert "Backing for anchor front left, as 'plated'" in done.stdout.splitlines()[0]
    assert done.stdout == run("size", "roadster", "--anchor", "front left", "--needed").stdout


def test_json_has_its_keys_and_finite_numbers() -> None:
    done = run("size", "roadster", "--anchor", "front left", "--strength", "2 kN", "--format", "json")
    data = json.loads(done.stdout, parse_constant=lambda text: pytest.fail(f"{text} in JSON"))
    assert done.returncode == 0
    assert data["schema"] == 1
    assert data["wanted"]["working_N"] == pytest.approx(2000.0)
    assert data["searched"] > 20_000
    first = data["choices"][0]
    assert set(first) >= {"backing", "bolts", "working_N", "breaking_N", "weakest_link", "weight_kg", "links"}
    assert first["working_N"] >= 2000.0
    assert any(link["remark"] == "computed as a thin plate" for link in first["links"])


def test_nothing_passes_is_an_answer() -> None:
    done = run("size", "roadster", "--strength", "50 kN", "--direction", "40 deg")
    assert done.returncode == 1
    assert done.stdout.startswith("FAIL")
    assert "No backing in stock is enough" in done.stdout


def test_picture_is_written_once(tmp_path: Path) -> None:
    place = tmp_path / "backing.svg"
    wanted = ("size", "roadster", "--needed", "--picture", str(place))
    assert run(*wanted).returncode == 0
    first = place.read_text(encoding="utf-8")
    assert first.startswith("<svg")
    refused = run(*wanted)
    assert refused.returncode == 2
    assert "--overwrite" in refused.stderr
    assert run(*wanted, "--overwrite").returncode == 0
    assert place.read_text(encoding="utf-8") == first


def test_no_washer_or_plate_no_picture(tmp_path: Path) -> None:
    place = tmp_path / "backing.svg"
    done = run("size", "roadster", "--strength", "2 kN", "--direction", "up", "--picture", str(place))
    assert done.returncode == 0
    assert "no picture" in done.stderr
    assert not place.exists()


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--needed", "--as-ring"), "in one way"),
        (("--strength", "3 kN", "--needed"), "in one way"),
        (("--strength", "3"), "no unit"),
        (("--strength", "3,5 kN"), "comma"),
        (("--strength", "-3 kN"), "'-3 kN' is out of range; allowed: from 0.01 kN to 1000 kN"),
        (("--strength", "1e-9 N"), "is out of range"),
        (("--strength", "3 kg"), "a rating is a force"),
        (("--needed", "--anchor", "frunt left"), "no anchor 'frunt left'"),
        (("--needed", "--mounting", "plated twice"), "no mounting"),
        (("--needed", "--direction", "down"), "is no direction"),
        (("--needed", "--picture", "plate.png"), "must end in .svg"),
    ],
)
def test_what_cannot_be_asked_is_refused(arguments: tuple[str, ...], words: str) -> None:
    done = run("size", "roadster", *arguments)
    assert done.returncode == 2
    assert words in done.stderr
    assert done.stdout == ""


def test_planks_are_sized_by_the_closed_rules_and_it_is_said() -> None:
    done = run("size", "mower-planks", "--strength", "0.5 kN", "--format", "json")
    data = json.loads(done.stdout)
    on_deck = [choice for choice in data["choices"] if choice["backing"]["kind"] in ("washers", "plate")]
    assert on_deck
    assert not any(choice["computed_as_plates"] for choice in on_deck)
    assert any("closed rules alone" in text for text in data["sentences"])
