"""The guided entry as people meet it: at a terminal, and with a file of answers."""

from __future__ import annotations

import json
import os
import pty
import select
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest

from anchorcalc.reading.document import read_document
from anchorcalc.scenario.writer import flow
from tests.cli.test_commands import run

ANSWERS = Path(__file__).parent / "answers"
PROMPT = b"  > "


def answers(name: str) -> list[str]:
    """Answers without remarks."""
    lines = (ANSWERS / f"{name}.txt").read_text(encoding="utf-8").splitlines()
    return [line for line in lines if not line.startswith("# ")]


class Terminal:
    """A command running on a pseudo-terminal."""

    def __init__(self, folder: Path, *arguments: str, environment: dict[str, str] | None = None) -> None:
        self._near, far = pty.openpty()
        self.process = subprocess.Popen(
            [sys.executable, "-m", "anchorcalc", *arguments],
            stdin=far, stdout=far, stderr=far, cwd=folder, start_new_session=True,
            env=environment or {**os.environ, "TERM": "dumb", "COLUMNS": "80", "NO_COLOR": "1"},
        )  # fmt: skip
        os.close(far)
        self.seen = b""
        self._told = 0

    def until(self, mark: bytes, seconds: float = 20.0) -> None:
        """Read until `mark` is seen behind what was read before."""
        end = time.monotonic() + seconds
        while mark not in self.seen[self._told :]:
            assert time.monotonic() < end, self.seen[-500:]
            if not self._read(0.2) and self.process.poll() is not None:
                pytest.fail(f"ended early: {self.seen[-500:]!r}")
        self._told = self.seen.index(mark, self._told) + len(mark)

    def type(self, line: str) -> None:
        os.write(self._near, line.encode() + b"\n")

    def interrupt(self) -> None:
        """Ctrl-C, once the command has had the time to wait for a line."""
        time.sleep(0.3)
        os.killpg(self.process.pid, signal.SIGINT)

    def finish(self, seconds: float = 30.0) -> str:
        """All that was on the screen, once the command has ended."""
        end = time.monotonic() + seconds
        while self._read(0.1) or self.process.poll() is None:
            if time.monotonic() > end:
                self.process.kill()
                self.process.wait()
                pytest.fail(f"does not end: {self.seen[-500:]!r}")
        os.close(self._near)
        return self.seen.decode().replace("\r\n", "\n")

    def _read(self, seconds: float) -> bool:
        ready, _, _ = select.select([self._near], [], [], seconds)
        if not ready:
            return False
        try:
            part = os.read(self._near, 65536)
        except OSError:  # the other end is closed
            return False
        self.seen += part
        return bool(part)


# A first use: what people type, and nothing that they need not.
FIRST_USE = [
    "inches", "enclosed trailer", "14 feet, 80", "ply, 3/4 inch, 1", "good", "across, 16, 12, #12", "bolts", "1/2",
    "6000 LBS", "1' 8\", 20 inches and 6", "1", "1,650 lb", "39", "WLL 3333 lbs", "firmly", "dk", "", "",
]  # fmt: skip


def first_use(folder: Path, interrupted_after: int = 1_000) -> str:
    """All that is on the screens of a first use that is broken off after every so many answers, and taken up again."""
    left, screens = list(FIRST_USE), ""
    while left:
        terminal = Terminal(folder, "start", "-o", "typed.yaml")
        now, left = left[:interrupted_after], left[interrupted_after:]
        for answer in now:
            terminal.until(PROMPT)
            terminal.type(answer)
        if left:
            terminal.until(PROMPT)
            terminal.interrupt()
        screens += terminal.finish()
        assert terminal.process.returncode == (130 if left else 1)
    return screens


def test_first_use_from_nothing_to_a_verdict_in_twenty_answers(tmp_path: Path) -> None:
    assert len(FIRST_USE) <= 20  # eighteen; screws and a second layer have a question more each
    screen = first_use(tmp_path)
    for echo in ("= us", "= 14 ft, 80 in", "= softwood-plywood, 3/4 in, 1", "= sound",
                 "= across, 16 in, 12 in, #12 self-drilling", "= 400 lbf",
                 "= bolts on washers", "= 1/2-13", "= 20 in, 20 in, 6 in", "= breaking 6000 lbf",
                 "= small car", "= 1650 lb", "= WLL 3333 lbf", "= not known"):  # fmt: skip
        assert f"    {echo}\n" in screen
    assert screen.index("All answers") < screen.index("O ring") < screen.index("Written: typed.yaml")
    assert "\nFAIL  my trailer" in screen
    assert [path.name for path in tmp_path.iterdir()] == ["typed.yaml"]
    checked = run("check", str(tmp_path / "typed.yaml"))
    assert checked.stdout.splitlines()[0] == "FAIL  my trailer"
    figures = checked.stdout.split("\n case ")[1].split("\n  Next")[0]
    assert " ".join(figures.split()) in " ".join(screen.split())

    text = (tmp_path / "typed.yaml").read_text(encoding="utf-8")
    assumed: Any = read_document(text).content
    everything = " ".join(run("check", str(tmp_path / "typed.yaml"), "--all").stdout.split())
    taken_for = {
        "member section": "tube-2x2x1/8 (guess)",
        "member metal": "mild (usual)",
        "hook height": "12 in (guess)",
        "hand tension": "400 lbf (guess)",
    }
    for key, taken in taken_for.items():
        assert assumed["assumed"][key] == taken
        assert f"{key}: {taken}" in everything
    assert "deck length" not in assumed["assumed"]


def test_interrupted_at_every_third_question_and_taken_up_again_the_file_is_the_same(tmp_path: Path) -> None:
    for name in ("straight", "broken"):
        (tmp_path / name).mkdir()
    first_use(tmp_path / "straight")
    screen = first_use(tmp_path / "broken", 3)
    assert screen.count("Going on with the") == 5
    assert screen.count("Your answers are kept in typed.yaml.answers") == 5
    assert screen.count("Length of the deck") == 1
    texts = [(tmp_path / name / "typed.yaml").read_bytes() for name in ("straight", "broken")]
    assert texts[0] == texts[1]
    assert [path.name for path in (tmp_path / "broken").iterdir()] == ["typed.yaml"]


def test_the_same_answers_by_pipe_give_the_same_file(tmp_path: Path) -> None:
    first_use(tmp_path)
    done = run("start", "-o", str(tmp_path / "piped.yaml"), stdin="\n".join(FIRST_USE) + "\n")
    assert done.returncode == 1
    assert (tmp_path / "piped.yaml").read_bytes() == (tmp_path / "typed.yaml").read_bytes()


def test_slips_help_a_step_back_and_changes_in_the_list(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path, "start", "-o", "typed.yaml")
    detours = {
        "14 feet, 80": ["14 stone, 80", "14 feet", "?", "14 feet, 80", "back"],
        "good": ["rotten"],
        "1,650 lb": ["1,5 t", "dk", ""],
    }
    for answer in FIRST_USE[:-1]:
        for typed in [*detours.pop(answer, []), answer]:
            terminal.until(PROMPT)
            terminal.type(typed)
    for change in ("hooks", "52", "1800 lb", "plate length = 9 in", "wheelbase = 0 ft", "9999", "list", ""):
        terminal.until(PROMPT)
        terminal.type(change)
    screen = " ".join(terminal.finish().split())
    assert terminal.process.returncode == 1
    for words in ("unknown unit 'stone'", "from its rear edge", "2 answers are wanted here, apart by commas",
                  "a deck that is decayed carries nothing: replace it",
                  "has a comma", "nothing safe can be taken for it", "an answer is wanted here",
                  "[1650 lb] your answer before", "weight: 1800 lb (measured)", "a number from 1 to 77",
                  "wheelbase: '0 ft' is out of range", "nothing here has 'plate length = 9 in'"):  # fmt: skip
        assert words in screen, words
    assert "weight: 1800 lb" in (tmp_path / "typed.yaml").read_text(encoding="utf-8")


def test_a_strap_behind_the_wheel_is_asked_back(tmp_path: Path) -> None:
    lines = [*FIRST_USE[:-1], "front hooks ahead = -6", "hooks apart = 20 in", ""]
    refused = run("start", "-o", str(tmp_path / "new.yaml"), stdin="\n".join([*lines, "no", "stop", ""]))
    assert "Strap front left hooks in behind a wheel" in refused.stdout
    assert refused.returncode == 2
    assert list(tmp_path.iterdir()) == []
    agreed = run("start", "-o", str(tmp_path / "new.yaml"), stdin="\n".join([*lines, "yes", "yes", ""]))
    assert agreed.returncode == 1
    assert (tmp_path / "new.yaml").exists()


@pytest.mark.parametrize("taken", [0, 5])
def test_ctrl_c_leaves_the_answers_and_nothing_else(tmp_path: Path, taken: int) -> None:
    terminal = Terminal(tmp_path, "start")
    for answer in FIRST_USE[:taken]:
        terminal.until(PROMPT)
        terminal.type(answer)
    terminal.until(PROMPT)
    terminal.interrupt()
    screen = terminal.finish()
    assert terminal.process.returncode == 130
    assert "interrupted" in screen
    assert "Traceback" not in screen
    assert [path.name for path in tmp_path.iterdir()] == (["my-trailer.yaml.answers"] if taken else [])


def test_end_of_input_at_a_terminal_keeps_the_answers(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path, "start")
    terminal.until(PROMPT)
    terminal.type("si")
    terminal.until(PROMPT)
    os.write(terminal._near, b"\x04")
    screen = terminal.finish()
    assert terminal.process.returncode == 2
    assert "nothing was written" in screen
    again = Terminal(tmp_path, "start")
    again.until(b"Which of these is nearest to your trailer?")
    again.until(PROMPT)
    again.type("anew")
    again.until(b"Inches and pounds")
    again.until(PROMPT)
    again.type("stop")
    assert "Nothing was written." in again.finish()
    assert again.process.returncode == 2


@pytest.mark.parametrize("kept", ["mine", "[1]", '{"units": 3}', "[" * 100_000, "\x00"])
def test_a_file_in_the_place_of_the_answers_that_holds_none_is_left_alone(tmp_path: Path, kept: str) -> None:
    place = tmp_path / "my-trailer.yaml.answers"
    place.write_text(kept, encoding="utf-8")
    terminal = Terminal(tmp_path, "start")
    screen = terminal.finish()
    assert terminal.process.returncode == 2
    assert "move it out of the way" in " ".join(screen.split())
    assert "Traceback" not in screen
    assert place.read_text(encoding="utf-8") == kept


def test_kept_answers_that_fit_no_more_are_asked_again(tmp_path: Path) -> None:
    kept = {"units": "us", "trailer": "hovercraft", "deck length": "\x1b[2J", "deck width": None, "nonsense": "x",
            "weight": "1650 lb"}  # fmt: skip
    (tmp_path / "my-trailer.yaml.answers").write_text(json.dumps(kept), encoding="utf-8")
    terminal = Terminal(tmp_path, "start")
    terminal.until(b"Going on with the 2 answers")
    terminal.until(b"nearest to your trailer")
    terminal.until(PROMPT)
    terminal.interrupt()
    assert "\x1b" not in terminal.finish()


def test_the_answers_file_with_its_remarks_gives_the_same_file_each_time(tmp_path: Path) -> None:
    text = (ANSWERS / "mower.txt").read_text(encoding="utf-8")
    files = [tmp_path / "a.yaml", tmp_path / "b.yaml"]
    for file in files:
        done = run("start", "-o", str(file), stdin=text)
        assert done.returncode == 1  # unrated parts cannot pass
        assert "\nFAIL  my trailer" in done.stdout
        assert "hangs on what holds nothing" in " ".join(done.stdout.split())
    assert files[0].read_bytes() == files[1].read_bytes()
    everything = run("check", str(files[0]), "--all")
    assert everything.returncode == 1
    assert "Nobody rated" in everything.stdout
    assert "Unrated parts cannot pass" in " ".join(everything.stdout.split())
    assert len(list(tmp_path.iterdir())) == 2


def test_windows_line_ends_and_a_byte_order_mark_are_read(tmp_path: Path) -> None:
    text = (ANSWERS / "roadster.txt").read_text(encoding="utf-8")
    first = run("start", "-o", str(tmp_path / "a.yaml"), stdin=text)
    second = run("start", "-o", str(tmp_path / "b.yaml"), stdin="\ufeff" + text.replace("\n", "\r\n"))
    for done in (first, second):
        assert "\nMARGINAL  Roadster in the small trailer\n" in done.stdout  # by screws through the lowest layer alone
        assert done.returncode == 1
    assert (tmp_path / "a.yaml").read_bytes() == (tmp_path / "b.yaml").read_bytes()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda lines: [], "answers ended"),
        (lambda lines: lines[:-1], "answers ended"),
        (lambda lines: lines[:12], "answers ended"),
        (lambda lines: [*lines, "yes"], f"left over in line {len(answers('roadster')) + 1}"),
        (lambda lines: ["us", "atlantis", *lines[2:]], "answer in line 2: 'atlantis' is not in the list"),
        (lambda lines: [*lines[:2], "16 lb, 80", *lines[3:]], "answer in line 3: deck length: '16 lb' is a weight"),
        (lambda lines: [*lines[:-5], "write it!"], "nothing here has 'write it!'"),
        (lambda lines: [*lines[:-1], "perhaps"], "yes or no is wanted here"),
        (lambda lines: [*lines[:-5], "stop"], ""),
        (lambda lines: ["\x1b[2J", *lines[1:]], r"'\x1b[2J' is not in the list"),
    ],
)
def test_a_file_of_answers_that_does_not_fit_writes_nothing(tmp_path: Path, change: object, words: str) -> None:
    assert callable(change)
    done = run(
        "start", "-o", str(tmp_path / "new.yaml"), stdin="".join(f"{each}\n" for each in change(answers("roadster")))
    )
    assert done.returncode == 2
    assert words in done.stderr
    assert "\x1b" not in done.stderr + done.stdout
    assert list(tmp_path.iterdir()) == []


def test_the_list_says_which_guesses_decide_and_which_number_changes_them(tmp_path: Path) -> None:
    lines = answers("roadster")
    done = run("start", "-o", str(tmp_path / "new.yaml"), stdin="\n".join([*lines[:-5], "list", *lines[-5:], ""]))
    listed, told = done.stdout.rsplit("> list\n", 1)[1].split("As it stands: ", 1)
    number = next(line.split()[0] for line in listed.splitlines() if "screw heads: not known" in line)
    assert told.startswith("MARGINAL. In pulling away")
    assert f" {number}  Passes if the deck's screws go through both layers" in told
    assert "measure them first" in " ".join(told.split())


ON_PLYWOOD = ["us", "enclosed trailer", "144, 76", "plywood, 7/8 in, 1", "sound", "across, 16, 6, #12"]
ON_PLANKS = ["us", "car hauler", "", "planks, 1 1/2, 1", "5 1/2, 2", "sound", "lengthwise, 24, 6, #12", "9"]


@pytest.mark.parametrize("unrated", ["ring mark", "strap mark"])
def test_of_two_answers_that_may_decide_the_one_not_known_is_named(unrated: str, tmp_path: Path) -> None:
    change = [f"{unrated} = don't know", "base thickness = 1/4", "first screw = 3", "screw heads = 1", "list"]
    lines = [*answers("roadster")[:-5], *change, *answers("roadster")[-5:], ""]
    done = run("start", "-o", str(tmp_path / "new.yaml"), stdin="\n".join(lines))
    listed, told = done.stdout.rsplit("> list\n", 1)[1].split("As it stands: ", 1)
    number = next(line.split()[0] for line in listed.splitlines() if f"{unrated}: not known" in line)
    assert f" {number}  Passes if the " in told
    assert "had a maker's rating" in " ".join(told.split())


@pytest.mark.parametrize(
    ("load", "more"),
    [("motorcycle", ["340 lb", "600 lbf", "44", "WLL 1000", "lightly", "WLL 1500", ""]),
     ("quad over its tyres", ["560 lb", "42", "WLL 3333", "no", "lightly"])],
)  # fmt: skip
def test_a_motorcycle_and_a_quad_over_its_tyres_are_asked_about_in_twenty_answers(
    load: str, more: list[str], tmp_path: Path
) -> None:
    place = tmp_path / "new.yaml"
    lines = [*ON_PLYWOOD, "plate", "3/8", "WLL 1200", "30, 18, 7", load, *more, ""]
    assert len(lines) <= 20
    done = run("start", "-o", str(place), stdin="\n".join([*lines, ""]))
    assert done.returncode == 1, done.stderr
    content: Any = read_document(place.read_text(encoding="utf-8")).content
    if load == "motorcycle":
        assert len(content["load"]["wheels"]) == 2
        assert {stop["pushes"] for stop in content["load"]["stops"].values()} == {"rearward", "left", "right"}
    else:
        assert set(content["anchors"]) == {f"{end} {side}" for end in ("front", "middle", "rear") for side in SIDES}
        assert content["straps"]["front left"]["over"][1] == ["92 in", "18 in", "25 in"]
        assert content["straps"]["rear left"] | {"over": []} == {
            "anchor": "middle left", "over": [], "to_anchor": "rear left", "slides": "no", "rated": "3333 lbf",
            "kind": "webbing", "width": "2 in", "hand_tension": "200 lbf",
        }  # fmt: skip
    assert "is in the way" not in done.stdout


SIDES = ("left", "right")

CAR = ["small car", "1650", "27", "WLL 3333", "lightly", "WLL 5000", ""]
MOTORCYCLE = ["motorcycle", "340", "600 lbf", "44", "WLL 1000", "lightly", "WLL 1500", ""]


@pytest.mark.parametrize(
    ("typed", "changes", "said"),
    [
        ([*ON_PLYWOOD, "welded", "3/16, 6", "WLL 2000", "8, 8, 6", *CAR], [],
         {"mountings": "{kind: frame, weld: 3/16 in, length: 6 in}"}),
        ([*ON_PLANKS, "washers", "1/2", "WLL 2500", "", "small car", "1650", "", "WLL 3333", "lightly", "WLL 5000", ""],
         ["beams = 0, 60, 120, 216", "run of the straps = round the axles", "no"],
         {"deck": "run: lengthwise", "straps": "to_anchor: front right, slides: no"}),
        ([*ON_PLYWOOD, "washers", "3/8", "WLL 1200", "30, 18, 12", *MOTORCYCLE],
         ["ring bases = across", "56, 2, 12, 5", "grip sideways = 0.4", "rails = 60", "through"],
         {"anchors": "{on: front strip, at: [114 in, 26 in]}", "deck": "outriggers: through"}),
    ],
    ids=["welded rings", "planks on lengthwise members", "a track"],
)  # fmt: skip
def test_less_common_trailers_are_said_in_few_answers_and_changes(
    typed: list[str], changes: list[str], said: dict[str, str], tmp_path: Path
) -> None:
    assert len(typed) < 20
    place = tmp_path / "new.yaml"
    done = run("start", "-o", str(place), stdin="\n".join([*typed, *changes, "", ""]))
    assert done.returncode in (0, 1), done.stderr
    content: Any = read_document(place.read_text(encoding="utf-8")).content
    for part, words in said.items():
        assert words in flow(content[part])
    assert run("check", str(place)).returncode == done.returncode


@pytest.mark.parametrize("answers_bytes", [b"\xff\xfe\x00", b"a\x00b\n", b"\xe9\n", b"x" * (1 << 21)])
def test_bytes_that_are_no_answers_are_refused(tmp_path: Path, answers_bytes: bytes) -> None:
    done = subprocess.run([sys.executable, "-m", "anchorcalc", "start"], input=answers_bytes, cwd=tmp_path,
                          capture_output=True, timeout=60, check=False)  # fmt: skip
    assert done.returncode == 2
    assert b"Traceback" not in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_is_there_is_refused_before_the_first_question(tmp_path: Path) -> None:
    there = tmp_path / "there.yaml"
    there.write_text("mine", encoding="utf-8")
    done = run("start", "-o", str(there), stdin="\n".join(answers("roadster")))
    assert done.returncode == 2
    assert "--overwrite" in done.stderr
    assert done.stdout == ""
    assert there.read_text(encoding="utf-8") == "mine"
    done = run("start", "-o", str(there), "--overwrite", stdin="\n".join(answers("roadster")) + "\n")
    assert f"Written:{there}.Checked,itsays:" in "".join(done.stdout.split())  # a long path is broken at the edge
    assert done.returncode == 1  # marginal
    assert there.read_text(encoding="utf-8").startswith("# A scenario")


# --- a copy with changes -----------------------------------------------------------------------------------

SHIPPED = Path(__file__).parents[2] / "scenarios" / "roadster.yaml"


def number_of(words: str) -> str:
    """Number of the one entry of the roadster that `words` find."""
    found = run("start", "--from", "roadster", stdin=f"{words}\nstop\n").stdout.split(f"> {words}\n")[1]
    lines = [line.split() for line in found.splitlines() if line.strip()[:1].isdigit()]
    assert len(lines) == 1, found
    return lines[0][0]


@pytest.mark.parametrize("by", ["number", "name"])
def test_a_copy_with_one_value_changed(tmp_path: Path, by: str) -> None:
    new = tmp_path / "heavier.yaml"
    change = f"weight\n{number_of('load weight')}\n1900 lbs" if by == "number" else "load weight = 1900 lbs"
    done = run("start", "--from", "roadster", "-o", str(new), stdin=f"{change}\n\n")
    assert done.returncode in (0, 1)
    assert done.stdout.split("\nChanged\n")[1].split("\n")[0] == "  load › weight: 1650 lb -> 1900 lbs"
    content: Any = read_document(new.read_text(encoding="utf-8")).content
    shipped: Any = read_document(SHIPPED.read_text(encoding="utf-8")).content
    shipped["load"]["weight"] = "1900 lbs"
    assert content == shipped


def test_a_key_may_be_added_and_taken_out(tmp_path: Path) -> None:
    added, gone = number_of("mountings plated base_thickness"), number_of("straps front left rated")
    new = tmp_path / "new.yaml"
    done = run("start", "--from", "roadster", "-o", str(new), stdin=f"{gone}\nnone\n{added}\n1/4 in\n\n")
    assert done.returncode == 1
    assert "base_thickness: 1/4 in" in new.read_text(encoding="utf-8")
    assert "strap front left" in done.stdout.split("Nobody rated")[1]


@pytest.mark.parametrize(
    ("answers", "words"),
    [
        ("load weight = 1900 in", "answer in line 1: load weight: '1900 in' is a length"),
        ("load weight = dk", "missing key 'weight'"),
        ("deck length = 12 ft\n\n", "these answers do not go together"),
        ("straps front left to = nails", "no tie point 'nails' is defined"),
        ("00001999999", "a number from 1 to"),
        ("0", "a number from 1 to"),
        ("load weight = \x1b[2J", "ordinary signs"),
        ("no such words", "nothing here has"),
    ],
)
def test_a_change_that_does_not_fit_is_told_and_not_written(tmp_path: Path, answers: str, words: str) -> None:
    done = run("start", "--from", "roadster", "-o", str(tmp_path / "new.yaml"), stdin=f"{answers}\n")
    assert done.returncode == 2
    assert words in " ".join(done.stderr.split())
    assert "\x1b" not in done.stderr + done.stdout
    assert list(tmp_path.iterdir()) == []


BACKING = "mountings plated backing"


def test_from_a_plate_to_washers_in_one_copy(tmp_path: Path) -> None:
    """What is of the former kind goes, and what the new one needs is asked for at once."""
    changes = [f"{BACKING} kind = washers", "1 1/2 in", f"{BACKING} thickness = 0.08 in", f"{BACKING} steel = mild", ""]
    done = run("start", "--from", "roadster", "-o", str(tmp_path / "b.yaml"), stdin="\n".join([*changes, ""]))
    assert done.returncode in (0, 1), done.stderr
    assert done.stdout.index("All values") < done.stdout.index("O ring")
    assert "backing › size: 6 in, 6 in -> (not given)" in done.stdout
    content: Any = read_document((tmp_path / "b.yaml").read_text(encoding="utf-8")).content
    assert content["mountings"]["plated"] == content["mountings"]["bolts and washers"]


def test_from_screws_to_a_plate_in_six_answers(tmp_path: Path) -> None:
    mounting = "mountings four screws"
    kinds = [f"{mounting} fasteners kind = bolt", f"{mounting} backing kind = plate"]
    changes = [*kinds, "5 in, 5 in", "1/4 in", "mild", "1/2-13", ""]
    place = tmp_path / "b.yaml"
    done = run("start", "--from", "roadster-screws", "-o", str(place), stdin="\n".join([*changes, ""]))
    assert done.returncode in (0, 1), done.stderr
    content: Any = read_document(place.read_text(encoding="utf-8")).content
    assert set(content["mountings"]["four screws"]["fasteners"]) == {"kind", "size", "at"}
    assert content["mountings"]["four screws"]["backing"]["kind"] == "plate"


def test_a_list_is_changed_in_one_line(tmp_path: Path) -> None:
    changes = ["anchors front left at = 170 in, 33 in", "deck layers item 1 joints_across = 96 in", "", ""]
    done = run("start", "--from", "roadster", "-o", str(tmp_path / "b.yaml"), stdin="\n".join(changes))
    assert done.returncode in (0, 1), done.stderr
    content: Any = read_document((tmp_path / "b.yaml").read_text(encoding="utf-8")).content
    assert content["anchors"]["front left"]["at"] == ["170 in", "33 in"]
    assert content["deck"]["layers"][0]["joints_across"] == ["96 in"]


def test_parts_are_added_replaced_and_taken_out_of_a_copy(tmp_path: Path) -> None:
    changes = [
        "deck nose length = 10 in", "78 in",  # and its width, which is asked for
        "deck layers item 1 sheets = {length: 96 in, first: 48 in}", "load stops chock = {at: [150 in, 20 in, 5 in], "
        "pushes: rearward, rated: 600 lbf}", "load stops chock = none", "load grip sideways = 0.4",
        "straps over it = {anchor: front left, over: [front left, front right], to_anchor: front right, kind: webbing, "
        "width: 2 in, rated: 3333 lbf}", "straps front left = none", "straps front right = none", "",
    ]  # fmt: skip
    place = tmp_path / "b.yaml"
    done = run("start", "--from", "roadster", "-o", str(place), stdin="\n".join([*changes, ""]))
    assert done.returncode in (0, 1), done.stderr
    content: Any = read_document(place.read_text(encoding="utf-8")).content
    assert content["deck"]["nose"] == {"length": "10 in", "width": "78 in"}
    assert content["deck"]["layers"][0]["sheets"] == {"length": "96 in", "first": "48 in"}
    assert content["load"]["grip"] == {"sideways": "0.4"}
    assert "stops" not in content["load"]
    assert set(content["straps"]) == {"over it", "rear left", "rear right"}
    helped = run("start", "--from", "roadster", stdin=f"{number_of('deck nose')}\n?\nstop\n").stdout
    assert "As in a file: {length: ..., width: ...}" in helped


@pytest.mark.parametrize(
    ("base", "words"), [("no-such.yaml", "no such file"), ("-", "standard input is for the answers")]
)
def test_a_base_that_cannot_be_read_is_refused(tmp_path: Path, base: str, words: str) -> None:
    done = run("start", "--from", base, "-o", str(tmp_path / "new.yaml"), stdin="\n\n")
    assert done.returncode == 2
    assert words in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_help_and_leaving_a_value_as_it_was(tmp_path: Path) -> None:
    number = number_of("cross_members rails")
    words = f"{number}\n?\nback\n{number}\n\n\n"
    done = run("start", "--from", "roadster", "-o", str(tmp_path / "new.yaml"), stdin=words)
    assert done.returncode == 0
    assert "distance between the main rails" in done.stdout
    assert "nothing; the copy says the same" in done.stdout


def test_a_copy_of_a_pipe_is_read_once(tmp_path: Path) -> None:
    new = tmp_path / "new.yaml"
    line = 'exec "$0" -m anchorcalc start --from <(cat "$1") -o "$2"'
    done = subprocess.run(["bash", "-c", line, sys.executable, str(SHIPPED), str(new)], input="\n", text=True,
                          capture_output=True, timeout=60, check=False)  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert read_document(new.read_text(encoding="utf-8")).content == read_document(
        SHIPPED.read_text(encoding="utf-8")
    ).content  # fmt: skip


# --- where it goes -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("place", "words"),
    [("none/new.yaml", "cannot be written"), ("file/new.yaml", "cannot be written"), ("folder", "is a folder")],
)
def test_a_place_that_cannot_be_written_is_told_before_the_first_question(
    tmp_path: Path, place: str, words: str
) -> None:
    (tmp_path / "file").write_text("mine", encoding="utf-8")
    (tmp_path / "folder").mkdir()
    for arguments in ((), ("--from", "roadster"), ("--overwrite",)):
        done = run("start", *arguments, "-o", str(tmp_path / place), stdin="\n".join(answers("roadster")))
        assert done.returncode == 2
        assert words in done.stderr
        assert done.stdout == ""
    assert sorted(path.name for path in tmp_path.iterdir()) == ["file", "folder"]
    assert list((tmp_path / "folder").iterdir()) == []
