"""The tables as the command line shows them, the user's own among them."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
import yaml

from anchorcalc.catalog.texts import TABLES
from anchorcalc.resources import data_folder
from tests.cli.test_commands import ROADSTER, run

STEEL = "- {name: my steel, F_y: 50 ksi, F_u: 65 ksi, E: 29000 ksi, density: 7850 kg/m3, source: mill sheet}\n"


@pytest.fixture
def own(tmp_path: Path) -> Path:
    """A folder with one steel of the user's own."""
    folder = tmp_path / "my-tables"
    folder.mkdir()
    (folder / "steels.yaml").write_text(STEEL, encoding="utf-8")
    return folder


def rows_on_disk(table: str) -> list[dict[str, object]]:
    tables = data_folder("tables")
    if table == "rules":
        return [yaml.load(path.read_bytes(), yaml.BaseLoader) for path in sorted((tables / "rules").glob("*.yaml"))]
    rows = yaml.load((tables / f"{table}.yaml").read_bytes(), yaml.BaseLoader)
    assert isinstance(rows, list)
    return rows


def found(*arguments: str) -> list[dict[str, object]]:
    rows = json.loads(run("tables", *arguments, "--format", "json").stdout)["rows"]
    assert isinstance(rows, list)
    return rows


def test_every_table_file_is_listed_with_its_number_of_rows() -> None:
    files = {path.stem for path in data_folder("tables").glob("*.yaml")} | {"rules"}
    assert set(TABLES) == files
    lines = run("tables").stdout.splitlines()
    for table in files:
        listed = next(line.split() for line in lines if line.split()[:1] == [table])
        assert int(listed[1]) == len(rows_on_disk(table))


@pytest.mark.parametrize("table", TABLES)
def test_every_row_is_shown_as_written_with_its_source(table: str) -> None:
    written = rows_on_disk(table)
    shown = found("--table", table)
    assert [{"name": row["name"], "source": row["source"], **row["values"]} for row in shown] == [  # type: ignore[dict-item]
        {"name": row["name"], "source": row["source"], **{k: v for k, v in row.items() if k not in ("name", "source")}}
        for row in written
    ]
    screen = " ".join(run("tables", "--table", table).stdout.split())
    assert screen.count("source: ") >= len(written)
    for row in written:
        assert " ".join(str(row["name"]).split()) in screen


def test_words_find_rows_in_whatever_case_and_names_come_first() -> None:
    names = [row["name"] for row in found("CHAIN", "70")]
    assert names
    assert all("chain" in str(name) and "70" in str(name) for name in names[:6])
    assert found("a36")[0]["name"] in ("A36", "mild")


def test_words_that_nothing_holds_are_told() -> None:
    done = run("tables", "unobtainium")
    assert done.returncode == 2
    assert "no row holds 'unobtainium'" in done.stderr


def test_a_table_that_is_not_there_gets_the_nearest_name() -> None:
    done = run("tables", "--table", "steel")
    assert done.returncode == 2
    assert "Did you mean 'steels'" in done.stderr


@pytest.mark.parametrize("way", ["option", "variable"])
def test_own_rows_are_marked_here_and_in_the_result(way: str, own: Path, tmp_path: Path) -> None:
    arguments = ["--tables", str(own)] if way == "option" else []
    variable = {} if way == "option" else {"ANCHORCALC_TABLES": str(own)}
    shown = run("tables", "--table", "steels", *arguments, **variable).stdout
    assert "my steel  (steels)  your own\n" in shown
    assert shown.count("your own") == 1
    file = tmp_path / "trailer.yaml"
    text = Path(ROADSTER).read_text(encoding="utf-8")
    file.write_text(
        text.replace("thickness: 3/16 in, steel: mild}", "thickness: 3/16 in, steel: my steel}"), encoding="utf-8"
    )
    checked = run("check", str(file), "--format", "json", *arguments, **variable)
    assert json.loads(checked.stdout)["own_tables"] == [f"my steel ({own / 'steels.yaml'})"]
    assert "Taken from tables of your own" in run("check", str(file), "--all", *arguments, **variable).stdout
    assert run("check", str(file)).returncode == 2


def test_the_variable_takes_several_folders(own: Path, tmp_path: Path) -> None:
    other = tmp_path / "other"
    other.mkdir()
    (other / "steels.yaml").write_text(STEEL.replace("my steel", "other steel"), encoding="utf-8")
    shown = run("tables", "--table", "steels", ANCHORCALC_TABLES=os.pathsep.join([str(own), str(other)])).stdout
    assert shown.count("your own") == 2


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (STEEL.replace("my steel", "mild"), "'mild' is already in the shipped steels.yaml"),
        (STEEL + STEEL, "'my steel' is already in"),
        (STEEL.replace("50 ksi", "50"), "item 1 › F_y: "),
        (STEEL.replace("50 ksi", "0 ksi"), "greater than 0"),
        (STEEL.replace("50 ksi", "90 ksi"), "F_y is greater than F_u"),
        (STEEL.replace(", source: mill sheet", ""), "source"),
        (STEEL.replace("F_y", "f_y"), "F_y"),
        ("just words\n", "a list of rows (- {name: ...}) is wanted"),
        ("- [1]\n", "keys with values (name, source, F_y"),
        ("- {a: 1, a: 2}\n", "this key is already given in line 1"),
        ("- !!python/object/apply:os.system [echo hurt]\n", "python/object"),
    ],
)
def test_own_tables_are_held_to_the_same_schema(content: str, words: str, own: Path) -> None:
    (own / "steels.yaml").write_text(content, encoding="utf-8")
    done = run("tables", "--tables", str(own))
    assert done.returncode == 2
    assert "steels.yaml" in done.stderr
    assert words in done.stderr
    assert done.stdout == ""


def test_a_check_with_faulty_own_tables_computes_nothing(own: Path) -> None:
    (own / "steels.yaml").write_text(STEEL.replace("50 ksi", "-50 ksi"), encoding="utf-8")
    done = run("check", "roadster", "--tables", str(own))
    assert done.returncode == 2
    assert "item 1 › F_y: " in done.stderr
    assert done.stdout == ""


def test_a_file_that_is_no_table_is_refused(own: Path) -> None:
    (own / "steel.yaml").write_text(STEEL, encoding="utf-8")
    done = run("tables", "--tables", str(own))
    assert done.returncode == 2
    assert "no table has this name" in done.stderr


@pytest.mark.parametrize("variable", ["{}", ":{}", "{}:", "::{}::", "::"])
def test_empty_parts_of_the_variable_are_no_folders(own: Path, variable: str) -> None:
    variable = variable.replace(":", os.pathsep).format(own)
    (own.parent / "bolts.yaml").write_text("- not a table\n", encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "anchorcalc", "tables", "--table", "steels"], cwd=own.parent, capture_output=True,
        text=True, timeout=60, check=False, env={**os.environ, "ANCHORCALC_TABLES": variable},
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert ("my steel" in done.stdout) == (str(own) in variable)


def test_an_empty_name_is_no_folder_of_tables() -> None:
    done = run("tables", "--tables", "")
    assert done.returncode == 2
    assert "an empty name is no folder" in done.stderr


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (os.mkfifo, "nothing writes into this pipe"),
        (lambda path: path.symlink_to(path.name), "this link leads back to itself"),
        (lambda path: path.symlink_to("elsewhere"), "this link leads to no file"),
        (lambda path: path.mkdir(), "this is a folder; a file is wanted"),
    ],
    ids=["pipe", "circle", "lost", "folder"],
)
def test_rules_of_ones_own_that_are_no_file_are_refused_at_once(
    make: Callable[[Path], object], said: str, own: Path
) -> None:
    (own / "rules").mkdir()
    make(own / "rules" / "mine.yaml")
    for arguments in (("check", "roadster"), ("tables",)):
        done = run(*arguments, "--tables", str(own))
        assert (done.returncode, done.stdout) == (2, "")
        assert "mine.yaml: " in done.stderr
        assert said in done.stderr
