"""What is read is never written over, not even with --overwrite, and whatever it is called."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from anchorcalc.resources import data_folder
from tests.cli.test_commands import run

ROADSTER = (data_folder("scenarios") / "roadster.yaml").read_text(encoding="utf-8")
STEEL = "- {name: my steel, F_y: 50 ksi, F_u: 65 ksi, E: 29000 ksi, density: 7850 kg/m3, source: mill sheet}\n"
WRITERS = [
    (("plan", "{}", "-o"), "svg"),
    (("report", "{}", "-o"), "html"),
    (("template", "{}", "plated", "-o"), "svg"),
    (("template", "{}", "plated", "-o"), "dxf"),
    (("size", "{}", "--picture"), "svg"),
    (("size", "{}", "--write"), "yaml"),
    (("improve", "{}", "--write"), "yaml"),
    (("start", "--from", "{}", "-o"), "yaml"),
]
IDS = [f"{arguments[0]}{arguments[-1]}-{suffix}" for arguments, suffix in WRITERS]


def spellings(place: Path) -> list[tuple[Path, Path]]:
    """Pairs of a name to read from and one to write to, both for the file `place`."""
    soft, hard = place.with_name(f"soft{place.suffix}"), place.with_name(f"hard{place.suffix}")
    soft.symlink_to(place)
    os.link(place, hard)
    dotted = place.parent / "." / ".." / place.parent.name / place.name
    return [(place, place), (place, dotted), (place, soft), (soft, place), (place, hard), (hard, soft)]


@pytest.mark.parametrize(("arguments", "suffix"), WRITERS, ids=IDS)
def test_the_scenario_is_kept(arguments: tuple[str, ...], suffix: str, tmp_path: Path) -> None:
    place = tmp_path / f"trailer.{suffix}"
    place.write_text(ROADSTER, encoding="utf-8")
    pairs = spellings(place)[: None if arguments[0] == "plan" else 1]  # they all ask in one place
    before = sorted(path.name for path in tmp_path.iterdir())
    for source, output in pairs:
        given = [each.format(source) for each in arguments]
        done = run(*given, str(output), "--overwrite", stdin="")
        assert (done.returncode, done.stdout) == (2, ""), (source, output)
        expected = f"{output}: is read here, and --overwrite does not replace it; name another file\n"
        assert done.stderr == expected
        assert place.read_text(encoding="utf-8") == ROADSTER
        assert sorted(path.name for path in tmp_path.iterdir()) == before


def test_another_file_of_the_same_words_is_replaced(tmp_path: Path) -> None:
    source, output = tmp_path / "trailer.yaml", tmp_path / "plan.svg"
    for place in (source, output):
        place.write_text(ROADSTER, encoding="utf-8")
    assert run("plan", str(source), "-o", str(output), "--overwrite").returncode in (0, 1)
    assert output.read_text(encoding="utf-8").startswith("<svg ")


def test_a_scenario_on_standard_input_is_kept(tmp_path: Path) -> None:
    place = tmp_path / "trailer.svg"
    place.write_text(ROADSTER, encoding="utf-8")
    with place.open() as file:
        done = subprocess.run(
            [sys.executable, "-m", "anchorcalc", "plan", "-", "-o", str(place), "--overwrite"],
            stdin=file,
            capture_output=True,
            text=True,
            timeout=60,
            check=False,
        )
    assert done.returncode == 2
    assert "is read here" in done.stderr
    assert place.read_text(encoding="utf-8") == ROADSTER


@pytest.mark.parametrize("name", ["steels.yaml", "rules/mine.yaml"])
def test_tables_of_ones_own_are_kept(name: str, tmp_path: Path) -> None:
    own = tmp_path / "own"
    (own / "rules").mkdir(parents=True)
    (own / "steels.yaml").write_text(STEEL, encoding="utf-8")
    rules = (data_folder("tables") / "rules" / "nz-road.yaml").read_text(encoding="utf-8")
    (own / "rules" / "mine.yaml").write_text(rules.replace("name: nz-road", "name: mine"), encoding="utf-8")
    before = (own / name).read_text(encoding="utf-8")
    done = run("start", "--from", "roadster", "--tables", str(own), "-o", str(own / name), "--overwrite", stdin="\n\n")
    assert done.returncode == 2
    assert "is read here" in done.stderr
    assert (own / name).read_text(encoding="utf-8") == before
