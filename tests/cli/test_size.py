"""`size` as people use it: exit status, screen, JSON, picture, and what is refused."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from tests.cli.test_commands import run

FLOOR = "thin orthotropic plates on members that push and screws that pull"


def test_screen_says_the_smallest_first_and_passes() -> None:
    done = run("size", "roadster", "--needed")
    assert done.returncode == 0
    assert done.stdout.startswith("PASS")
    assert "Smallest first" in done.stdout
    rows = done.stdout.split("weakest link\n")[1].split("\n\n")[0]
    assert rows.startswith(" washers ")
    assert " 1 1/2 in ×" in rows
    weights = [float(weight) for weight in re.findall(r" ([\d.]+) lb ", rows)]
    assert len(weights) > 1
    assert weights == sorted(weights)
    assert done.stderr == ""


def test_the_mounting_is_quoted_and_without_a_word_it_is_what_is_needed() -> None:
    done = run("size", "roadster", "--anchor", "front left")
    assert done.returncode == 0
    assert "Backing for anchor front left, as 'plated'" in done.stdout.splitlines()[0]
    assert done.stdout == run("size", "roadster", "--anchor", "front left", "--needed").stdout


def test_json_has_its_keys_and_finite_numbers() -> None:
    wanted = ("size", "roadster", "--anchor", "front left", "--strength", "2 kN", "--format", "json")
    done = run(*wanted)
    data = json.loads(done.stdout, parse_constant=lambda text: pytest.fail(f"{text} in JSON"))
    assert done.returncode == 0
    assert data["schema"] == 1
    assert data["wanted"]["working_N"] == pytest.approx(2000.0)
    assert data["searched"] > 500  # what a hardware shop has
    assert data["searched"] >= data["fitting"] > 100
    first = data["choices"][0]
    assert set(first) >= {"backing", "bolts", "working_N", "breaking_N", "weakest_link", "weight_kg", "links"}
    assert first["working_N"] >= 2000.0
    deck = {link["key"]: link["source"] for link in first["links"] if link["key"] in ("panel_bending", "hold_down")}
    assert len(deck) == 2
    assert all(FLOOR in source for source in deck.values())
    everything = json.loads(run(*wanted, "--all-stock").stdout)
    assert everything["searched"] > 20_000
    assert everything["choices"][0]["weight_kg"] <= first["weight_kg"]


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


def test_bars_have_a_picture_of_their_links(tmp_path: Path) -> None:
    place = tmp_path / "backing.svg"
    done = run("size", "roadster", "--strength", "1.3 kN", "--direction", "up", "--picture", str(place))
    assert done.returncode == 0
    drawn = place.read_text(encoding="utf-8")
    assert "bridge bar" in drawn
    assert "Pressure under" not in drawn


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


def test_planks_are_sized_by_the_same_floor_as_sheets() -> None:
    done = run("size", "mower-planks", "--strength", "0.5 kN", "--format", "json")
    data = json.loads(done.stdout)
    on_deck = [choice for choice in data["choices"] if choice["backing"]["kind"] in ("washers", "plate")]
    assert on_deck
    for choice in on_deck:
        deck = {link["key"]: link for link in choice["links"] if link["key"] in ("panel_bending", "hold_down")}
        assert len(deck) == 2
        assert all(FLOOR in link["source"] for link in deck.values())
        assert 500.0 <= choice["working_N"] <= min(link["working_N"] for link in deck.values())
    assert not any("closed rules" in text for text in data["sentences"])
