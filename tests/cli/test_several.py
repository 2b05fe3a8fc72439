"""Several scenarios in one call of ``check``: one summary, or one line of JSON each."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.test_commands import ROADSTER, run
from tests.conftest import SCENARIOS


@pytest.fixture
def faulty(tmp_path: Path) -> str:
    file = tmp_path / "faulty.yaml"
    file.write_text(Path(ROADSTER).read_text(encoding="utf-8").replace("1650 lb", "1650"), encoding="utf-8")
    return str(file)


def test_json_lines_hold_what_each_alone_says() -> None:
    files = [str(path) for path in SCENARIOS if path.stem in ("motorcycle", "roadster", "roadster-screws")]
    done = run("check", *files, "--format", "json")
    lines = done.stdout.splitlines()
    assert len(lines) == len(files)
    for file, line in zip(files, lines, strict=True):
        alone = json.loads(run("check", file, "--format", "json").stdout)
        for anchor in alone["anchors"]:
            del anchor["least_N"]  # of many scenarios nobody asks it; it is the trailer's, not the load's
        assert json.loads(line) == {"file": file, **alone}


@pytest.mark.parametrize(
    ("files", "status"),
    [
        (["roadster", "utility-cart-angle"], 0),
        (["roadster", "orchard-tractor", "roadster"], 1),
        (["no-such-scenario", "roadster"], 2),
        (["orchard-tractor", "no-such-scenario"], 2),
    ],
)
@pytest.mark.parametrize("form", ["screen", "json"])
def test_exit_status_is_the_gravest(files: list[str], status: int, form: str) -> None:
    assert run("check", *files, "--format", form).returncode == status


def test_one_that_is_refused_does_not_stop_the_others(faulty: str) -> None:
    done = run("check", "roadster", faulty, "orchard-tractor")
    assert done.returncode == 2
    assert "'1650' has no unit" in done.stderr
    words = " ".join(done.stdout.split())
    assert "3 scenarios: 1 pass, 1 fail, 1 refused." in words
    assert "PASS" in words
    assert "REFUSED" in words
    assert words.index("roadster") < words.index("orchard-tractor")


@pytest.mark.parametrize("name", ["x" * 5000, "no-such-folder/trailer.yaml", "a\nb", " "])
def test_one_that_has_no_possible_name_is_refused_alone(name: str) -> None:
    done = run("check", "roadster", name)
    assert done.returncode == 2
    assert "2 scenarios: 1 pass, 1 refused." in " ".join(done.stdout.split())
    assert done.stderr.count("\n") == 2
    assert len(done.stderr) < 400
    alone = run("check", name)
    assert (alone.returncode, alone.stderr) == (2, done.stderr)


def test_a_refused_one_has_its_faults_in_json(faulty: str) -> None:
    done = run("check", "roadster", faulty, "--format", "json")
    refused = json.loads(done.stdout.splitlines()[1])
    assert refused["verdict"] == "refused"
    assert refused["file"] == faulty
    (fault,) = refused["faults"]
    assert fault["path"] == "load › weight"
    line = Path(faulty).read_text(encoding="utf-8").splitlines()[fault["line"] - 1]
    assert line[fault["column"] - 1 :] == "1650"
    assert "has no unit" in fault["message"]


def test_own_rows_are_told_of_the_scenario_that_used_them_only(tmp_path: Path) -> None:
    steel = "- {name: my steel, F_y: 50 ksi, F_u: 65 ksi, E: 29000 ksi, density: 7850 kg/m3, source: mill sheet}\n"
    (tmp_path / "own").mkdir()
    (tmp_path / "own" / "steels.yaml").write_text(steel, encoding="utf-8")
    file = tmp_path / "mine.yaml"
    text = Path(ROADSTER).read_text(encoding="utf-8")
    file.write_text(text.replace("3/16 in, steel: mild}", "3/16 in, steel: my steel}"), encoding="utf-8")
    done = run("check", str(file), "roadster", "--tables", str(tmp_path / "own"), "--format", "json")
    own = [json.loads(line)["own_tables"] for line in done.stdout.splitlines()]
    assert [len(rows) for rows in own] == [1, 0]


def test_standard_input_may_be_one_of_them_but_only_once() -> None:
    text = Path(ROADSTER).read_text(encoding="utf-8")
    done = run("check", "-", "orchard-tractor", "--format", "json", stdin=text)
    assert [json.loads(line)["verdict"] for line in done.stdout.splitlines()] == ["pass", "fail"]
    twice = run("check", "-", "-", stdin=text)
    assert twice.returncode == 2
    assert "only once" in twice.stderr


def test_the_summary_is_plain_and_eighty_columns_wide_when_piped() -> None:
    lines = run("check", *map(str, SCENARIOS)).stdout.splitlines()
    assert max(map(len, lines)) <= 80
    assert not any("\x1b" in line or line != line.rstrip() for line in lines)
