"""The command line behaves as people expect of any: version, colours, width, pipes, signals, completion, schema."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

import jsonschema
import pytest
import yaml

from anchorcalc import __version__
from anchorcalc.catalog import Catalog
from anchorcalc.cli import COMMANDS
from anchorcalc.scenario.json_schema import scenario_schema
from tests.cli.test_commands import ROADSTER, run
from tests.cli.test_start import Terminal
from tests.conftest import SCENARIOS, roadster

PROGRAM = [sys.executable, "-m", "anchorcalc"]


def test_version() -> None:
    done = run("--version")
    assert (done.returncode, done.stdout) == (0, f"anchorcalc {__version__}\n")


@pytest.mark.parametrize("command", COMMANDS)
def test_help_is_laid_out_and_has_examples(command: str) -> None:
    done = run(command, "--help")
    assert done.returncode == 0
    assert "\\b" not in done.stdout
    examples = done.stdout.split("Examples:\n")[1].split("\n\n")[0].splitlines()
    assert len(examples) >= 2
    assert all(f"anchorcalc {command}" in line for line in examples)


# --- colours, width, pipes, signals ------------------------------------------------------------------------


def on_a_terminal(tmp_path: Path, **environment: str | None) -> str:
    """What `check` shows on a terminal."""
    given = {**os.environ, "TERM": "xterm-256color", "COLUMNS": "80", **environment}
    terminal = Terminal(
        tmp_path, "check", "orchard-tractor", environment={k: v for k, v in given.items() if v is not None}
    )
    return terminal.finish()


def test_colours_on_a_terminal_unless_told_not_to(tmp_path: Path) -> None:
    coloured = on_a_terminal(tmp_path, NO_COLOR=None)
    plain = on_a_terminal(tmp_path, NO_COLOR="1")
    assert "\x1b[1;31mFAIL" in coloured
    assert "\x1b[1;31m" not in plain
    assert "\x1b[31m" not in plain
    assert "FAIL" in plain


def test_width_is_taken_from_columns(tmp_path: Path) -> None:
    wide = run("check", "orchard-tractor", COLUMNS="140").stdout.splitlines()
    usual = run("check", "orchard-tractor").stdout.splitlines()
    assert 80 < max(map(len, wide)) <= 140
    assert max(map(len, usual)) <= 80


def test_a_closed_pipe_is_quiet() -> None:
    process = subprocess.Popen([*PROGRAM, "tables", "--table", "rules"], stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    assert process.stdout is not None
    process.stdout.close()
    _, told = process.communicate(timeout=60)
    assert told == b""
    assert process.returncode == 141


def test_ctrl_c_while_reading_standard_input_is_clean(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path, "check", "-")
    time.sleep(1.0)  # nothing is printed before the input is read
    terminal.interrupt()
    screen = terminal.finish()
    assert terminal.process.returncode == 130
    assert "interrupted" in screen
    assert "Traceback" not in screen


# --- completion --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_completion_script_calls_the_program(shell: str) -> None:
    done = run("completion", shell)
    assert done.returncode == 0
    assert "_ANCHORCALC_COMPLETE" in done.stdout
    assert f"{shell}_complete" in done.stdout


def completed(words: str, shell: str = "bash") -> list[str]:
    """What a shell is offered for the last of `words`."""
    done = run(_ANCHORCALC_COMPLETE=f"{shell}_complete", COMP_WORDS=words, COMP_CWORD=str(len(words.split()) - 1))
    return [line.split(",", 1)[1] for line in done.stdout.splitlines()]


def test_commands_options_and_shipped_scenarios_are_completed() -> None:
    assert completed("anchorcalc ch") == ["check"]
    assert completed("anchorcalc check --form") == ["--format"]
    assert completed("anchorcalc check --format j") == ["json"]
    assert "roadster" in completed("anchorcalc check road")
    assert set(completed("anchorcalc completion z")) == {"zsh"}


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_the_shell_itself_takes_the_script(shell: str) -> None:
    program = shutil.which(shell)
    if program is None:  # the script's own words are checked above
        assert run("completion", shell).returncode == 0
        return
    script = run("completion", shell).stdout
    done = subprocess.run([program, "-n"], input=script, text=True, capture_output=True, timeout=20, check=False)
    assert (done.returncode, done.stderr) == (0, "")


# --- schema ------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def schema() -> dict[str, object]:
    done = run("schema")
    assert done.returncode == 0
    found = json.loads(done.stdout)
    jsonschema.Draft202012Validator.check_schema(found)
    assert isinstance(found, dict)
    return found


@pytest.mark.parametrize("path", SCENARIOS, ids=lambda path: path.stem)
@pytest.mark.parametrize("loader", [yaml.BaseLoader, yaml.SafeLoader])
def test_shipped_scenarios_fit_the_schema(path: Path, loader: type, schema: dict[str, object]) -> None:
    """As all text, and with numbers taken for numbers as editors do."""
    content = json.loads(json.dumps(yaml.load(path.read_bytes(), Loader=loader)))
    jsonschema.Draft202012Validator(schema).validate(content)


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("load", "weigth"), "1650 lb"),
        (("load", "weight"), 1650),
        (("units",), "metric"),
        (("deck", "layers"), []),
        (("anchors", "front left", "at"), ["1 m"]),
        (("mountings", "plated", "backing", "kind"), "glue"),
        (("straps", "front left", "rated"), None),
    ],
)
def test_what_the_reader_refuses_by_its_form_the_schema_refuses_too(
    path: tuple[str, ...], value: object, schema: dict[str, object]
) -> None:
    content = roadster()
    place = content
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = value
    assert not jsonschema.Draft202012Validator(schema).is_valid(content)


def test_schema_names_the_rows_of_the_tables_for_completion(catalog: Catalog) -> None:
    found = scenario_schema(catalog)
    assert found["$defs"]["CrossMembers"]["properties"]["section"]["examples"] == list(catalog.members)
    assert "us-road" in found["properties"]["rules"]["examples"]


# --- nothing of a scenario is run or opened ----------------------------------------------------------------


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("name: roadster", "name: !!python/object/apply:os.system ['touch hurt']"),
        ("name: roadster", "name: !!python/name:os.system ''"),
        ("name: roadster", "name: !include /etc/passwd"),
        ("name: roadster", "name: &a roadster\n  kind2: *a"),
        ("rules: us-road", "rules: ../../etc/passwd"),
        ("rules: us-road", "rules: /etc/passwd"),
        ("panel: softwood-plywood", "panel: ../panels"),
    ],
)
def test_tags_aliases_and_paths_are_refused(old: str, new: str, tmp_path: Path) -> None:
    text = Path(ROADSTER).read_text(encoding="utf-8")
    assert old in text
    file = tmp_path / "trailer.yaml"
    file.write_text(text.replace(old, new, 1), encoding="utf-8")
    done = subprocess.run([*PROGRAM, "check", "trailer.yaml"], cwd=tmp_path, capture_output=True, text=True, timeout=60,
                          check=False)  # fmt: skip
    assert done.returncode == 2
    assert "root:" not in done.stderr
    assert list(tmp_path.iterdir()) == [file]


def test_what_looks_like_code_or_a_path_is_a_name_and_nothing_else(tmp_path: Path) -> None:
    """Watched through the interpreter's audit events: nothing named in the scenario is opened or run."""
    text = Path(ROADSTER).read_text(encoding="utf-8")
    file = tmp_path / "trailer.yaml"
    for name in ("/etc/hostname", "$(touch hurt)", "{__import__('os').system('touch hurt')}", "%s%n", "[bold red]x"):
        file.write_text(text.replace("name: roadster", f"name: {json.dumps(name)}"), encoding="utf-8")
        program = (
            "import sys\n"
            "def watch(event, given):\n"
            "    if event in ('open', 'os.system', 'subprocess.Popen', 'exec') and 'host' in repr(given[0]) or event in"
            " ('os.system', 'subprocess.Popen', 'os.exec', 'os.posix_spawn'):\n"
            "        print('CAUGHT', event, given, file=sys.stderr)\n"
            "sys.addaudithook(watch)\n"
            "from anchorcalc.cli import main\n"
            "sys.argv = ['anchorcalc', 'check', 'trailer.yaml']\n"
            "main()\n"
        )
        done = subprocess.run([sys.executable, "-c", program], cwd=tmp_path, capture_output=True, text=True, timeout=60,
                              check=False)  # fmt: skip
        assert done.returncode == 0
        assert "CAUGHT" not in done.stderr
        assert name in done.stdout
        assert list(tmp_path.iterdir()) == [file]


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("a: " + "[" * 5000, id="brackets"),
        pytest.param("a: " + "{b: " * 5000, id="braces"),
        pytest.param("\n".join(" " * i + "a:" for i in range(3000)), id="blocks"),
        pytest.param("x" * (1 << 21), id="one long word"),
        pytest.param("a: b\n" * 60_000, id="one key many times"),
        pytest.param(
            "a: &a [x,x,x,x,x,x,x,x,x]\nb: &b [*a,*a,*a,*a,*a,*a,*a,*a,*a]\nc: [*b,*b,*b,*b,*b,*b,*b,*b,*b]",
            id="aliases",
        ),
    ],
)
def test_large_and_deep_files_are_refused_quickly(text: str) -> None:
    start = time.monotonic()
    done = run("check", "-", stdin=text)
    assert done.returncode == 2
    assert time.monotonic() - start < 5.0
    assert len(done.stderr) < 20_000
