"""The command line behaves as people expect of any: version, colours, width, pipes, signals, completion, schema."""

from __future__ import annotations

import json
import os
import re
import shlex
import shutil
import signal
import subprocess
import sys
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from anchorcalc import __version__
from anchorcalc.catalog.tables import Catalog
from anchorcalc.cli.overview import COMMANDS
from anchorcalc.reading.faults import InputFaults
from anchorcalc.scenario.json_schema import scenario_schema
from anchorcalc.scenario.read import parse_scenario
from tests.cli.test_commands import ROADSTER, run
from tests.cli.test_start import Terminal
from tests.conftest import SCENARIOS, calls_of, checked, roadster, until_read

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


def test_ctrl_c_while_reading_standard_input_is_clean() -> None:
    process = subprocess.Popen([*PROGRAM, "check", "-"], stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                               stderr=subprocess.STDOUT)  # fmt: skip
    assert process.stdin is not None
    process.stdin.write(b"title: half a scenario\n")
    process.stdin.flush()
    until_read(process.stdin.fileno(), alive=lambda: process.poll() is None)
    process.send_signal(signal.SIGINT)
    told, _ = process.communicate(timeout=60)
    assert process.returncode == 130
    assert b"interrupted" in told
    assert b"Traceback" not in told


@pytest.mark.parametrize("name", ["COLUMNS", "LINES"])
@pytest.mark.parametrize("size", ["²", "99999999999999999999", "9" * 5000, "-80", " ", ""])
def test_a_size_of_the_screen_that_is_none_is_as_good_as_not_given(name: str, size: str) -> None:
    for arguments in (("--help",), ("check", "roadster")):
        assert run(*arguments, **{name: size}).stdout == run(*arguments).stdout


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp1252"])
def test_letters_that_the_encoding_lacks_do_not_end_the_run(encoding: str, tmp_path: Path) -> None:
    done = run("plan", "roadster", "-o", str(tmp_path / "ł.svg"), PYTHONIOENCODING=encoding, PYTHONUTF8="0",
               LC_ALL="C.UTF-8")  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert done.stdout.endswith(".svg\nverdict: pass\n")
    assert (tmp_path / "ł.svg").exists()
    refused = run("check", "運.yaml", PYTHONIOENCODING=encoding, PYTHONUTF8="0", LC_ALL="C.UTF-8")
    assert refused.returncode == 2
    assert ".yaml: there is no such file" in refused.stderr


def test_a_drive_letter_with_back_slashes_and_crlf_is_a_file_like_any_other(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What a path of Windows looks like to the command; here it is the name of one file."""
    name = "C:\\Users\\me\\my trailer.yaml"
    text = Path(ROADSTER).read_text(encoding="utf-8")
    (tmp_path / name).write_bytes(text.replace("\n", "\r\n").encode())
    monkeypatch.chdir(tmp_path)
    done = run("check", name)
    assert done.returncode == 0, done.stderr
    assert f"anchorcalc fit '{name}'" in " ".join(done.stdout.split())
    missing = run("check", "D:\\none.yaml")
    assert missing.returncode == 2
    assert "D:\\none.yaml: there is no such file" in missing.stderr


def test_a_terminal_without_our_letters_still_gets_its_answer(tmp_path: Path) -> None:
    environment = {**os.environ, "TERM": "dumb", "NO_COLOR": "1", "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"}
    terminal = Terminal(tmp_path, "explain", "roadster", "front left", environment=environment)
    screen = terminal.finish()
    assert terminal.process.returncode == 0, screen
    assert "formula: " in screen
    assert screen.isascii()


@pytest.mark.parametrize(
    ("arguments", "redirect", "status", "said"),
    [
        (["check", "no-such-scenario"], "2>/dev/full", 2, ""),
        (["schema", "more"], "2>/dev/full", 2, ""),
        (["check", "no-such-scenario"], "2>&-", 2, ""),
        (["check", "no-such-scenario", "roadster"], "2>/dev/full", 2, "2 scenarios: 1 pass, 1 refused."),
        (["tables", "nothing holds this"], "2>/dev/full", 2, ""),
        (["check", "roadster"], ">/dev/full", 2, "standard output cannot be written to: No space left on device"),
        (["--help"], ">/dev/full", 2, "standard output cannot be written to: No space left on device"),
        (["check", "-"], "0>written-to", 2, "standard input: cannot be read: "),
    ],
)
def test_streams_that_take_nothing(arguments: list[str], redirect: str, status: int, said: str, tmp_path: Path) -> None:
    done = redirected(arguments, redirect, tmp_path)
    assert done.returncode == status
    assert said in done.stdout + done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize(
    ("arguments", "file"),
    [
        (["plan", "roadster"], "out.svg"),
        (["report", "roadster"], "out.html"),
        (["template", "roadster", "plated"], "out.svg"),
    ],
)
def test_a_file_is_whole_though_nobody_can_be_told(arguments: list[str], file: str, tmp_path: Path) -> None:
    done = redirected([*arguments, "-o", file], ">/dev/full", tmp_path)
    assert done.returncode == 2
    assert done.stderr == "standard output cannot be written to: No space left on device\n"
    assert run(*arguments, "-o", str(tmp_path / f"told-{file}")).returncode == 0
    assert (tmp_path / file).read_bytes() == (tmp_path / f"told-{file}").read_bytes()


def redirected(arguments: list[str], redirect: str, folder: Path) -> subprocess.CompletedProcess[str]:
    """What a shell makes of the command with its streams redirected."""
    command = shlex.join([*PROGRAM, *arguments])
    return subprocess.run(
        ["bash", "-c", f"{command} {redirect}"], cwd=folder, capture_output=True, text=True, timeout=60, check=False
    )


def test_ctrl_c_before_anything_is_loaded_is_clean() -> None:
    """The entry point loads nothing of weight, and an interruption while it loads the rest ends as any other."""
    program = (
        "import sys\n"
        "import anchorcalc.cli\n"
        "print(*{'click', 're', 'numpy'} & set(sys.modules))\n"
        "class Interrupting:\n"
        "    def find_spec(self, name, *more):\n"
        "        if name == 'click': raise KeyboardInterrupt\n"
        "sys.meta_path.insert(0, Interrupting())\n"
        "anchorcalc.cli.main()\n"
    )
    done = subprocess.run([sys.executable, "-S", "-c", program], capture_output=True, text=True, timeout=60,
                          check=False)  # fmt: skip
    assert (done.returncode, done.stderr) == (130, "")
    assert "click" not in done.stdout


# --- nothing typed is obeyed by a terminal -----------------------------------------------------------------

NASTY = "no\x1b[31m\x07\nError: forged \u2028\u202e"


@pytest.mark.parametrize(
    "arguments",
    [
        ["schema", NASTY],
        [NASTY],
        [f"--{NASTY}"],
        ["check"],
        ["check", NASTY],
        ["check", "roadster", "roadster", NASTY],
        ["check", "roadster", "--format", NASTY],
        ["check", "roadster", "--tables", NASTY],
        ["check", "roadster", f"--{NASTY}=1"],
        ["template", "roadster", NASTY, "-o", "out.svg"],
        ["explain", "roadster", NASTY],
        ["plan", "roadster", "-o", f"{NASTY}.png"],
        ["plan", "roadster", "-o", f"no-such-folder/{NASTY}.svg"],
        ["size", "roadster", "--strength", NASTY],
        ["tables", NASTY],
    ],
)
def test_what_was_typed_is_shown_on_one_line_and_never_raw(arguments: list[str]) -> None:
    done = run(*arguments)
    assert done.returncode == 2
    shown = done.stdout + done.stderr
    assert shown.strip()
    assert all(line.isprintable() for line in shown.split("\n"))
    assert not any(line.startswith("Error: forged") for line in shown.split("\n"))


def test_own_tables_by_the_variable_are_told_of_without_raw_characters() -> None:
    done = run("check", "roadster", ANCHORCALC_TABLES=NASTY)
    assert done.returncode == 2
    assert done.stderr.count("\n") == 1
    assert done.stderr.rstrip("\n").isprintable()


def test_a_complaint_is_no_longer_than_one_reads() -> None:
    assert len(run("schema", "x" * 50_000).stderr) < 5_000


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


@pytest.mark.parametrize(
    "environment",
    [
        {"_ANCHORCALC_COMPLETE": "bash_complete"},
        {"_ANCHORCALC_COMPLETE": "fish_complete", "COMP_WORDS": "anchorcalc"},
        {"_ANCHORCALC_COMPLETE": "zsh_complete", "COMP_WORDS": "anchorcalc ch", "COMP_CWORD": "x"},
        {"_ANCHORCALC_COMPLETE": "rubbish"},
        {"_ANCHORCALC_COMPLETE": "bash_rubbish"},
        {"_ANCHORCALC_COMPLETE": "_"},
    ],
)
def test_a_completion_that_no_shell_asked_for_ends_with_a_word(environment: dict[str, str]) -> None:
    done = run("check", "roadster", **environment)
    assert (done.returncode, done.stdout) == (2, "")
    assert "_ANCHORCALC_COMPLETE is set but not as a shell's completion script sets it" in done.stderr


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
        (("deck", "hold_down", "first_at"), 3),
        (("deck", "hold_down", "heads_on"), "top"),
        (("deck", "hold_down", "heads_on"), 0),
        (("deck", "hold_down", "heads_on"), 7),
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


PARTS = {
    "Scenario": "", "Load": "load", "TiePoint": "load.tie_points", "Grip": "load.grip", "Stop": "load.stops",
    "Deck": "deck", "Layer": "deck.layers", "Fixed": "deck.layers", "Sheets": "deck.layers",
    "CrossMembers": "deck.cross_members", "Timber": "deck.cross_members", "Joint": "deck.cross_members",
    "HoldDown": "deck.hold_down", "Nose": "deck", "Zone": "deck",
    "Mounting": "mountings", "Ring": "mountings.ring", "Fasteners": "mountings.fasteners",
    "Pattern": "mountings.fasteners", "CutOut": "mountings",
    **dict.fromkeys(("NoBacking", "Washers", "WasherSize", "Plate", "ThroughMember", "Bridge", "Frame"),
                    "mountings.backing"),
    "Anchor": "anchors", "Strap": "straps", "Trailer": "trailer",
}  # fmt: skip
"""Parts of a scenario, and the row of the README's table of keys that has their keys."""


def test_every_key_is_told_to_editors_and_in_the_readme(schema: dict[str, Any]) -> None:
    parts = {"Scenario": schema, **schema["$defs"]}
    assert set(parts) == set(PARTS)
    table = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8").split("| part | its keys |")[1]
    rows = dict(re.findall(r"^\| `?([a-z_.]*)`? *\| (.*) \|$", table.split("\n\n")[0], re.MULTILINE))
    assert set(rows) - {""} == set(PARTS.values()) - {""}
    named = {place: set(re.findall(r"`([a-z_]+)`", words)) for place, words in rows.items()}
    keys: dict[str, set[str]] = {}
    for part, place in PARTS.items():
        for key, told in parts[part]["properties"].items():
            assert told.get("description"), (part, key)
            keys.setdefault(place, set()).add(key)
    for place, there in keys.items():
        assert there <= (named[place] if place else set().union(*named.values()) | set(rows)), place
        assert not place or named[place] <= there, place  # and no key that is none


def test_schema_names_the_rows_of_the_tables_for_completion(catalog: Catalog) -> None:
    found = scenario_schema(catalog)
    assert found["$defs"]["CrossMembers"]["properties"]["section"]["examples"] == list(catalog.members)
    assert "us-road" in found["properties"]["rules"]["examples"]


# --- what is no plain file ---------------------------------------------------------------------------------


def test_a_pipe_on_disk_without_a_writer_is_no_wait(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    done = run("check", str(tmp_path / "pipe"), "roadster")
    assert done.returncode == 2
    assert "pipe: cannot be read: nothing writes into this pipe" in done.stderr
    assert "2 scenarios: 1 pass, 1 refused." in done.stdout


@pytest.mark.parametrize(
    "words", ["/dev/stdin < {file}", "- < {file}", "<(sleep 0.3; cat {file})", "/dev/fd/7 7< {file}", "<(cat {file})"]
)
def test_what_a_shell_hands_over_is_read(words: str, tmp_path: Path) -> None:
    done = redirected(["check", "--format", "json"], words.format(file=shlex.quote(ROADSTER)), tmp_path)
    assert done.returncode == 0, done.stderr
    assert json.loads(done.stdout)["verdict"] == "pass"


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
            "sys.argv = ['anchorcalc', 'check', 'trailer.yaml', '--all']\n"
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
    def read() -> None:
        with pytest.raises(InputFaults):
            parse_scenario(text, "text")

    assert calls_of(read) < 100_000  # aliases take a quarter of it, all others far less
    done = run("check", "-", stdin=text)
    assert done.returncode == 2
    assert len(done.stderr) < 20_000


def test_the_most_of_everything_is_checked_in_seconds() -> None:
    """As many of each as is taken, all in each other's way."""
    texts = roadster()
    texts["deck"] |= {"length": "58 ft", "width": "98 ft"}
    texts["deck"]["cross_members"]["spacing"] = "12 in"
    (layer, *_) = texts["deck"]["layers"]
    across, along = ([f"{number} ft" for number in range(start, start + 10)] for start in (1, -5))
    texts["deck"]["layers"] = [layer | {"joints_across": across, "joints_along": along} for _ in range(3)]
    for key, y in (("wheel_wells", 30), ("no_go", -35)):
        texts["deck"][key] = [
            {"name": f"zone {number}", "corner": [f"{number} ft", f"{y} ft"], "opposite": [f"{number + 1} ft", "0 ft"]}
            for number in range(12)
        ]
    plated = texts["mountings"]["plated"]
    plated["ring"]["base"] = ["12 in", "12 in"]
    plated["backing"]["size"] = ["16 in", "16 in"]
    plated["fasteners"]["at"] = {"points": [[f"{x} in", f"{y} in"] for x in (-4, -1, 1, 4) for y in (-4, 0, 4)]}
    texts["mountings"] = {f"mounting {number}": plated for number in range(8)}
    texts["anchors"] = {
        f"anchor {number}": {"at": [f"{2 + 2.5 * number} ft", "20 ft"], "mounting": f"mounting {number % 8}"}
        for number in range(20)
    }
    point = {"at": ["49 ft", "0 ft", "4 ft"]}
    texts["load"]["tie_points"] = {f"point {number}": point for number in range(24)}
    texts["load"]["wheels"] = {f"wheel {number}": [f"{2 + 4 * number} ft", "-40 ft"] for number in range(12)}
    strap = texts["straps"]["front left"]
    texts["straps"] = {
        f"strap {number}": strap | {"anchor": f"anchor {number % 20}", "to": f"point {number}"} for number in range(24)
    }
    texts["assumed"] = {f"thing {number}": "something" for number in range(100)}
    results = []
    assert calls_of(lambda: results.append(checked(texts, Catalog()))) < 4_800_000  # twice what it takes
    (result,) = results
    assert result.verdict == "fail"
    assert len(result.cases[0].straps) in (0, 24)
    assert len(result.anchors) == 20
