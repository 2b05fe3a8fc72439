"""``verify``: what it shows, its JSON, its exit status, and that it comes with the installed package."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
import yaml

from anchorcalc.proof.published import published_checks
from anchorcalc.resources import data_folder
from tests.cli.test_commands import run

ROOT = Path(__file__).parents[2]


def test_shows_every_check_and_the_counts() -> None:
    done = run("verify")
    assert done.returncode == 0
    screen = " ".join(done.stdout.split())
    for check in published_checks():
        assert check.name.split()[0] in screen
        assert f"[{check.tag}]" in screen
    assert f"{len(published_checks())} checks, 0 off." in screen
    assert "read and" in screen


def test_json_has_its_keys_and_the_same_checks() -> None:
    done = run("verify", "--format", "json")
    assert done.returncode == 0
    found = json.loads(done.stdout)
    assert found["schema"] == 1
    assert len(found["checks"]) == len(published_checks())
    for check in found["checks"]:
        assert {"function", "published", "computed", "difference", "tolerance", "source", "tag"} <= set(check)
        assert check["difference"] == pytest.approx(check["computed"] / check["published"] - 1)
        assert abs(check["difference"]) <= check["tolerance"]
    assert found["counts"]["read"] + found["counts"]["from memory"] >= 100
    assert found["off"] == 0


def changed_install(tmp_path: Path, published: object) -> Path:
    """A copy of the package with its tables, in which one published value is another."""
    site = tmp_path / "site"
    shutil.copytree(ROOT / "anchorcalc", site / "anchorcalc", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copytree(data_folder("tables"), site / "anchorcalc" / "tables")
    file = site / "anchorcalc" / "tables" / "published" / "en_1990.yaml"
    data = yaml.safe_load(file.read_text(encoding="utf-8"))
    data["checks"][0]["published"] = published
    file.write_text(yaml.safe_dump(data), encoding="utf-8")
    return site


def verify_in(site: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "anchorcalc", "verify", *arguments]
    surroundings = {"PYTHONPATH": str(site), "COLUMNS": "120"}
    return subprocess.run(command, cwd=site, env=surroundings, capture_output=True, text=True, check=False, timeout=60)


def test_one_value_off_is_named_and_ends_with_one(tmp_path: Path) -> None:
    site = changed_install(tmp_path, 70)
    done = verify_in(site)
    assert done.returncode == 1
    assert "1 off" in done.stdout
    assert "off: 5 % value" in done.stdout
    as_json = verify_in(site, "--format", "json")
    assert as_json.returncode == 1
    assert [check["holds"] for check in json.loads(as_json.stdout)["checks"]].count(False) == 1


def test_without_its_rows_it_refuses(tmp_path: Path) -> None:
    site = changed_install(tmp_path, 67.2)
    shutil.rmtree(site / "anchorcalc" / "tables" / "published")
    done = verify_in(site)
    assert done.returncode == 2
    assert "lacks its published checks" in done.stderr
    assert "Traceback" not in done.stderr


def test_the_rows_are_no_tables_to_list() -> None:
    assert "published" not in run("tables").stdout


def test_the_wheel_takes_the_whole_folder_of_tables() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    taken = project["tool"]["hatch"]["build"]["targets"]["wheel"]["force-include"]
    assert taken["tables"] == "anchorcalc/tables"
    assert (ROOT / "tables" / "published" / "nds_2018.yaml").is_file()
