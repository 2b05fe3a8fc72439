"""`check` on one screen: short, whole, and every number with its unit."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from anchorcalc.render.screen.console import glued
from tests.cli.test_commands import run
from tests.conftest import SCENARIOS

_UNIT_FIRST = re.compile(r"\s*(lbf|lb|kN|in|mm|kg|%|g)\b")


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
def test_every_shipped_scenario_fits_on_one_screen(path: Path) -> None:
    done = run("check", path.stem)
    lines = done.stdout.splitlines()
    verdict = lines[0].split()[0]
    assert len(lines) <= 31
    assert max(map(len, lines)) <= 80
    assert verdict in ("PASS", "MARGINAL", "FAIL")
    assert (done.returncode == 0) == (verdict == "PASS")
    assert not any(_UNIT_FIRST.match(line) for line in lines)
    command = "fit" if verdict == "PASS" else "improve"
    assert any(line.endswith(f"anchorcalc {command} {path.stem}") for line in lines)
    assert "first 50 miles" in done.stdout


def test_the_screen_names_cause_and_number() -> None:
    shown = " ".join(run("check", "roadster-screws").stdout.split())
    assert "'screw gives way pulled at a slant'" in shown
    assert "all four rings" in shown
    assert "Rule of thumb, half the weight: 699 of 825 lbf wanted: FAIL" in shown


def test_mountings_side_by_side_tell_the_rule_of_thumb_as_a_check_does() -> None:
    shown = run("compare", "roadster-screws").stdout
    row = next(line for line in shown.splitlines() if line.startswith(" four screws"))
    assert re.findall(r"(\d+) %", row)[1] == "85"  # 699 of 825 lbf
    assert "thumb: counted ratings, of what the rule of thumb asks for, too few below 100 %" in " ".join(shown.split())


def test_unlike_anchors_are_told_apart() -> None:
    rows = [line for line in run("check", "mower-planks").stdout.splitlines() if line.endswith("PASS")]
    assert any(row.startswith(" front left, front right") for row in rows)
    assert any(row.startswith(" rear left, rear right") for row in rows)


def test_all_tells_every_case_and_assumption() -> None:
    shown = " ".join(run("check", "roadster", "--all").stdout.split())
    for words in ("Assumed, since not given", "Look again", "Cautions", "breaking", "thickness of the ring's base"):
        assert words in shown


def test_a_number_is_tied_to_its_unit_and_to_its_fraction() -> None:
    assert glued("1 1/2 in of 16 lbf, 0.5 g and 4 rings") == (
        "1\ue0001/2\ue000in of 16\ue000lbf, 0.5\ue000g and 4 rings"
    )
    assert glued("30 lbf ft") == "30\ue000lbf\ue000ft"


def test_a_deck_short_under_the_wheels_says_why_and_what_to_do(tmp_path: Path) -> None:
    heavy = tmp_path / "heavy.yaml"
    text = next(path for path in SCENARIOS if path.stem == "roadster").read_text(encoding="utf-8")
    heavy.write_text(text.replace("weight: 1650 lb", "weight: 3300 lb"), encoding="utf-8")
    shown = " ".join(run("check", str(heavy)).stdout.split())
    assert (
        "Deck under a wheel: 1,300 lbf under front left (1.5 times at rest, with hand tension); no more than 759 lbf "
        "daily, 2,330 lbf at most: MARGINAL."
    ) in shown
    assert (
        "To do: another of deck.layers, sheets that meet on a cross-member there and not beside it, or boards" in shown
    )
    assert "no key of the file counts them" in shown


@pytest.mark.parametrize("command", ["check", "fit"])
def test_a_rating_that_looks_like_a_breaking_strength_is_told_at_once(command: str, tmp_path: Path) -> None:
    """A breaking strength written as a rating lets a part seem three times as strong."""
    text = next(path for path in SCENARIOS if path.stem == "roadster").read_text(encoding="utf-8")
    odd = tmp_path / "odd.yaml"
    odd.write_text(text.replace("rated: 3333 lbf", "rated: 10000 lbf", 1), encoding="utf-8")
    head = " ".join(run(command, str(odd)).stdout.split("Where the anchors go")[0].split())
    assert (
        "1 thing looks odd: Strap front left is rated 10,000 lbf: much for its size. Is that its breaking strength? "
        "Then write it as breaking."
    ) in head
    odd.write_text(text.replace("rated: 3333 lbf", "rated: 10000 lbf"), encoding="utf-8")
    assert "4 things look odd, the first: Strap front left is rated" in " ".join(run(command, str(odd)).stdout.split())
    assert "odd" not in run(command, "roadster").stdout
