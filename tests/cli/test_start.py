"""The guided entry as people meet it: at a terminal, and with a file of answers."""

from __future__ import annotations

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


def test_first_time_at_a_terminal_from_nothing_to_a_verdict(tmp_path: Path) -> None:
    """Questions, a slip, help, a step back and a correction at the review; the same answers by pipe, the same file."""
    terminal = Terminal(tmp_path, "start", "-o", "typed.yaml")
    detours = {
        "2900 lb": ["2900"],  # no unit: told, and asked again
        "16 ft": ["?", "16 ft", "back"],
        "sound": ["sound", "back"],
    }
    for answer in answers("roadster")[:-1]:
        for typed in [*detours.pop(answer, []), answer]:
            terminal.until(PROMPT)
            terminal.type(typed)
    terminal.until(b"A number changes that answer")
    terminal.until(PROMPT)
    terminal.type("49")
    terminal.until(PROMPT)
    terminal.type("1650 lb")
    terminal.until(b"A number changes that answer")
    terminal.until(PROMPT)
    terminal.type("")
    screen = terminal.finish()
    assert terminal.process.returncode == 0
    assert not detours
    assert "'2900' has no unit" in screen
    assert "nothing safe can be taken for it" in screen
    assert "[1650 lb] your answer before" in screen
    assert screen.index("All answers") < screen.index("Written: typed.yaml") < screen.index("\nPASS  Roadster")

    done = run("start", "-o", str(tmp_path / "piped.yaml"), stdin="\n".join(answers("roadster")) + "\n")
    assert done.returncode == 0
    assert (tmp_path / "piped.yaml").read_bytes() == (tmp_path / "typed.yaml").read_bytes()
    checked = run("check", str(tmp_path / "typed.yaml"))
    assert checked.returncode == 0
    assert "\nCases" in checked.stdout
    assert checked.stdout.split("\nCases")[1] in done.stdout


@pytest.mark.parametrize("taken", [0, 12])
def test_ctrl_c_leaves_nothing(tmp_path: Path, taken: int) -> None:
    terminal = Terminal(tmp_path, "start")
    for answer in answers("roadster")[:taken]:
        terminal.until(PROMPT)
        terminal.type(answer)
    terminal.until(PROMPT)
    terminal.interrupt()
    screen = terminal.finish()
    assert terminal.process.returncode == 130
    assert "interrupted" in screen
    assert "Traceback" not in screen
    assert list(tmp_path.iterdir()) == []


def test_end_of_input_at_a_terminal_leaves_nothing(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path, "start")
    terminal.until(PROMPT)
    os.write(terminal._near, b"\x04")
    screen = terminal.finish()
    assert terminal.process.returncode == 2
    assert "nothing was written" in screen
    assert list(tmp_path.iterdir()) == []


def test_the_answers_file_with_its_remarks_gives_the_same_file_each_time(tmp_path: Path) -> None:
    text = (ANSWERS / "mower.txt").read_text(encoding="utf-8")
    files = [tmp_path / "a.yaml", tmp_path / "b.yaml"]
    for file in files:
        done = run("start", "-o", str(file), stdin=text)
        assert done.returncode == 1  # unrated parts cannot pass
        assert "Nobody rated" in done.stdout
    assert files[0].read_bytes() == files[1].read_bytes()
    assert run("check", str(files[0])).returncode == 1


def test_windows_line_ends_and_a_byte_order_mark_are_read(tmp_path: Path) -> None:
    text = (ANSWERS / "roadster.txt").read_text(encoding="utf-8")
    assert run("start", "-o", str(tmp_path / "a.yaml"), stdin=text).returncode == 0
    assert run("start", "-o", str(tmp_path / "b.yaml"), stdin="\ufeff" + text.replace("\n", "\r\n")).returncode == 0
    assert (tmp_path / "a.yaml").read_bytes() == (tmp_path / "b.yaml").read_bytes()


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (lambda lines: [], "answers ended"),
        (lambda lines: lines[:-1], "answers ended"),
        (lambda lines: lines[:30], "answers ended"),
        (lambda lines: [*lines, "yes"], f"left over in line {len(answers('roadster')) + 1}"),
        (lambda lines: ["Roadster", "atlantis", *lines[2:]], "answer in line 2: 'atlantis' is not in the list"),
        (lambda lines: [*lines[:3], "2900", *lines[4:]], "answer in line 4: '2900' has no unit"),
        (lambda lines: [*lines[:-1], "write it!"], "stop is wanted here"),
        (lambda lines: [*lines[:-1], "stop"], ""),
        (lambda lines: ["\x1b[2J", *lines[1:]], r"ordinary signs"),
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
    assert run("start", "-o", str(there), "--overwrite", stdin="\n".join(answers("roadster")) + "\n").returncode == 0
    assert there.read_text(encoding="utf-8").startswith("# A scenario")


# --- a copy with changes -----------------------------------------------------------------------------------


def number_of(words: str, *earlier: str) -> str:
    """Number of the one entry of the roadster that `words` find after the `earlier` answers."""
    found = run("start", "--from", "roadster", stdin="\n".join([*earlier, words, "stop", ""])).stdout
    found = found.split(f"> {words}\n")[1]
    lines = [line.split() for line in found.splitlines() if line.strip()[:1].isdigit()]
    assert len(lines) == 1, found
    return lines[0][0]


def test_a_copy_with_one_value_changed(tmp_path: Path) -> None:
    number = number_of("load weight")
    new = tmp_path / "heavier.yaml"
    done = run("start", "--from", "roadster", "-o", str(new), stdin=f"weight\n{number}\n1900 lb\n\n\n")
    assert done.returncode in (0, 1)
    assert "load › weight: 1650 lb -> 1900 lb" in done.stdout
    content = read_document(new.read_text(encoding="utf-8")).content
    shipped = read_document(
        (Path(__file__).parents[2] / "scenarios" / "roadster.yaml").read_text(encoding="utf-8")
    ).content
    assert isinstance(content, dict)
    assert isinstance(shipped, dict)
    shipped["load"]["weight"] = "1900 lb"  # type: ignore[index,call-overload]
    assert content == shipped


def test_a_key_may_be_added_and_taken_out(tmp_path: Path) -> None:
    added, gone = number_of("mountings plated base_thickness"), number_of("straps front left rated")
    new = tmp_path / "new.yaml"
    done = run("start", "--from", "roadster", "-o", str(new), stdin=f"{added}\n1/4 in\n{gone}\nnone\n\n\n")
    assert done.returncode == 1
    text = new.read_text(encoding="utf-8")
    assert "base_thickness: 1/4 in" in text
    assert "strap front left" in done.stdout.split("Nobody rated")[1]


def test_a_change_that_does_not_fit_is_told_and_not_written(tmp_path: Path) -> None:
    number = number_of("load weight")
    done = run("start", "--from", "roadster", "-o", str(tmp_path / "new.yaml"), stdin=f"{number}\n1900 in\n")
    assert done.returncode == 2
    assert "answer in line 2: '1900 in' is a length" in done.stderr
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("base", "words"), [("no-such.yaml", "no such file"), ("-", "standard input is for the answers")]
)
def test_a_base_that_cannot_be_read_is_refused(tmp_path: Path, base: str, words: str) -> None:
    done = run("start", "--from", base, "-o", str(tmp_path / "new.yaml"), stdin="\n\n")
    assert done.returncode == 2
    assert words in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_values_that_do_not_go_together_are_told_and_not_written(tmp_path: Path) -> None:
    number = number_of("deck length")
    done = run("start", "--from", "roadster", "-o", str(tmp_path / "new.yaml"), stdin=f"{number}\n12 ft\n\nstop\n")
    assert done.returncode == 2
    assert "the anchor's base does not lie on the deck" in done.stdout
    assert list(tmp_path.iterdir()) == []


def test_from_screws_to_bolts_with_washers_to_other_anchors_in_one_copy(tmp_path: Path) -> None:
    """The mounting is described anew by questions, every anchor pointed to it, and the copy checks."""
    describe = [number_of("four screws anew"), "", "", "", "don't know", "", "bolt", "1/2-13", "SAE 5", "4", "", "",
                "washers", "1 1/2 in", "0.08 in", "don't know"]  # fmt: skip
    mounting = int(number_of("anchors front left mounting", *describe))
    point = [each for number in range(mounting, mounting + 12, 3) for each in (str(number), "?", "four screws")]
    new = tmp_path / "new.yaml"
    done = run("start", "--from", "roadster", "-o", str(new), stdin="\n".join([*describe, *point, "", "", ""]))
    assert done.returncode in (0, 1), done.stderr
    assert "No anchor uses 'four screws' yet" in done.stdout
    assert "1: four screws, 2: bolts and washers, 3: plated, 4: bridge bars" in done.stdout
    changed = done.stdout.split("\nChanged")[1]
    for line in ("fasteners › kind: wood screw -> bolt", "fasteners › length: 1 1/2 in -> (not given)",
                 "backing › outside: (not given) -> 1 1/2 in", "anchors › rear right › mounting: plated -> four screws",
                 "assumed › metal of the washers of four screws: (not given) -> 6061-T6-welded"):  # fmt: skip
        assert line in " ".join(changed.split())
    text = new.read_text(encoding="utf-8")
    assert text.count("mounting: four screws") == 4
    assert "# What metal: not known; 6061-T6-welded is written" in text
    checked = run("check", str(new))
    assert checked.returncode == done.returncode
    assert "metal of the washers of four screws" in checked.stdout


def test_another_mounting_and_a_strap_described_anew(tmp_path: Path) -> None:
    another, strap = number_of("another"), number_of("straps rear left anew")
    plate = ["heavier", "1666 lbf", "4 1/2 in", "", "don't know", "1/2 in", "bolt", "1/2-13", "SAE 5", "4", "3 1/4 in",
             "", "plate", "8 in", "", "1/4 in", ""]  # fmt: skip
    chain = ["chain", "3/8 in", "70", "6600 lbf", "don't know", "direct"]
    new = tmp_path / "new.yaml"
    words = "\n".join([strap, *chain, another, *plate, "", "", ""])
    done = run("start", "--from", "roadster", "-o", str(new), stdin=words)
    assert done.returncode in (0, 1), done.stderr
    content: Any = read_document(new.read_text(encoding="utf-8")).content
    assert content["mountings"]["heavier"]["backing"] == {
        "kind": "plate", "size": ["8 in", "8 in"], "thickness": "1/4 in", "steel": "mild",
    }  # fmt: skip
    assert content["straps"]["rear left"]["kind"] == "chain"
    assert content["straps"]["rear left"]["to"] == "rear left"


def test_help_back_and_not_known_at_a_new_value(tmp_path: Path) -> None:
    needed, free = number_of("load weight"), number_of("rear right rated 5000")
    words = f"{needed}\n?\nback\n{free}\n?\ndon't know\n{needed}\n\n\nstop\n"
    done = run("start", "--from", "roadster", "-o", str(tmp_path / "new.yaml"), stdin=words)
    assert done.returncode == 2
    assert done.stdout.count("It stays as it was") == 2
    assert "Enter takes 1650 lb: as it is." in done.stdout
    assert "don't know will not do" in done.stdout
    assert "don't know: the key is taken out" in done.stdout
    assert done.stdout.split("\nChanged")[1].split("\n")[1].strip() == (
        "load › tie_points › rear right › rated: 5000 lbf -> (not given)"
    )
    refused = run("start", "--from", "roadster", "-o", str(tmp_path / "b.yaml"), stdin=f"{needed}\ndon't know\n")
    assert refused.returncode == 2
    assert "this has to be known; Enter takes 1650 lb" in refused.stderr
    assert list(tmp_path.iterdir()) == []


def test_back_from_the_first_question_leaves_a_mounting_as_it_was(tmp_path: Path) -> None:
    anew = number_of("plated anew")
    words = f"{anew}\n\nback\nback\n\n\n"
    done = run("start", "--from", "roadster", "-o", str(tmp_path / "new.yaml"), stdin=words)
    assert done.returncode == 0
    assert "It stays as it was" in done.stdout
    assert "nothing; the copy says the same" in done.stdout


def test_a_copy_of_a_pipe_is_read_once(tmp_path: Path) -> None:
    shipped = Path(__file__).parents[2] / "scenarios" / "roadster.yaml"
    new = tmp_path / "new.yaml"
    line = 'exec "$0" -m anchorcalc start --from <(cat "$1") -o "$2"'
    done = subprocess.run(["bash", "-c", line, sys.executable, str(shipped), str(new)], input="\n\n", text=True,
                          capture_output=True, timeout=60, check=False)  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert read_document(new.read_text(encoding="utf-8")).content == read_document(
        shipped.read_text(encoding="utf-8")
    ).content  # fmt: skip


# --- as the first user met it ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("answer", "typed", "words"),
    [
        ("softwood-plywood", "plywood", "did you mean 'softwood-plywood', 'structural-1-plywood' or 'birch-plywood'?"),
        ("16 ft", "16' 3\"", "write it in inches alone: '195 in'"),
        ("1666 lbf", "1666 LBS", "if the label says pounds write lbf"),
        ("51 in", "200 in", "puts a wheel beyond the deck; from 0 in to 192 in"),
        ("90 in", "150 in", "puts a wheel beyond the deck; from 0 in to 141 in"),
        ("rear left", "110 in", "'110 in' is a measure; a name is wanted here"),
        ("softwood-plywood", "don't know", "nothing safe can be taken for it"),
    ],
)
def test_a_slip_is_told_with_the_way_out(tmp_path: Path, answer: str, typed: str, words: str) -> None:
    lines = [typed if line == answer else line for line in answers("roadster")]
    done = run("start", "-o", str(tmp_path / "new.yaml"), stdin="\n".join(lines))
    assert done.returncode == 2
    assert words in " ".join(done.stderr.split())
    assert list(tmp_path.iterdir()) == []


def test_a_choice_and_its_number_stay_on_one_line(tmp_path: Path) -> None:
    before = answers("roadster")[: answers("roadster").index("#12 self-drilling")]
    done = run("start", "-o", str(tmp_path / "new.yaml"), stdin="\n".join([*before, "?"]))
    lines = [line.strip() for line in done.stdout.splitlines()]
    assert any("self-drilling, 2: #10 self-drilling" in line for line in lines)
    assert not any(line.endswith(":") and line[-2].isdigit() for line in lines)
    assert not any(line.startswith("self-drilling") for line in lines)
    assert "\N{NO-BREAK SPACE}" not in done.stdout


def test_little_known_is_worked_out_from_the_worst_and_listed(tmp_path: Path) -> None:
    """Feet by their mark; title, metal and the weight in front not known, joints given."""
    other = {"Roadster in the small trailer": "", "16 ft": "16'", "50 %": "don't know"}
    lines = [other.get(line, line) for line in answers("roadster")]
    plate = lines.index("3/16 in") + 1
    assert lines[plate] == ""
    lines[plate] = "don't know"
    lines[lines.index("none")] = "96 in"
    new = tmp_path / "new.yaml"
    done = run("start", "-o", str(new), stdin="\n".join([*lines, ""]))
    assert done.returncode in (0, 1), done.stderr
    text = new.read_text(encoding="utf-8")
    content: Any = read_document(text).content
    assert content["title"] == "my trailer"
    assert content["deck"]["length"] == "16'"
    assert content["deck"]["layers"][0]["joints_across"] == ["96 in"]
    assert content["assumed"]["metal of the plate of plated"] == "6061-T6-welded, the weakest in the table"
    assert "the worst of 35, 50 and 65 %" in content["assumed"]["weight on the front wheels"]
    assert "its breaking strength counts instead" not in done.stdout.split("All answers")[1]
    checked = run("check", str(new))
    assert checked.returncode == done.returncode
    assert "weight on the front wheels" in checked.stdout


def test_bolts_instead_of_screws_at_the_review_offer_no_screw_size(tmp_path: Path) -> None:
    """What was said of the screws would be refused for bolts; Enter must not be told to take it."""
    terminal = Terminal(tmp_path, "start", "-o", "new.yaml")
    screws = ["wood screw", "#14", "1 1/2 in", "new"]
    lines = answers("roadster")
    bolt = lines.index("bolt")
    end = lines.index("plate")
    for answer in [*lines[:bolt], *screws, *lines[bolt + 3 : end], *lines[end + 5 : -1]]:
        terminal.until(PROMPT)
        terminal.type(answer)
    terminal.until(b"What holds the ring to the deck? wood screw")
    number = terminal.seen.decode().rsplit("What holds the ring", 1)[0].split()[-1]
    terminal.until(PROMPT)
    for answer in (number, "bolt"):
        terminal.type(answer)
        terminal.until(PROMPT)
    tail = terminal.seen.decode().rsplit("Size of the bolts?", 1)[1]
    assert "your answer before" not in tail
    for answer in ("1/2-13", "SAE 5", "washers", "1 1/2 in", "0.08 in", "mild"):
        terminal.type(answer)
        terminal.until(PROMPT)
    terminal.type("")
    screen = terminal.finish()
    assert terminal.process.returncode in (0, 1)
    assert "Written: new.yaml" in screen
    assert "kind: bolt" in (tmp_path / "new.yaml").read_text(encoding="utf-8")


# --- numbers that are none of the list ---------------------------------------------------------------------


@pytest.mark.parametrize("number", ["00001999999", "0", "999999999", "0001999999"])
def test_a_number_that_is_not_in_the_list_is_told(tmp_path: Path, number: str) -> None:
    copied = run("start", "--from", "roadster", "-o", str(tmp_path / "a.yaml"), stdin=f"{number}\n")
    assert copied.returncode == 2
    assert "a number from 1 to" in copied.stderr
    asked = run("start", "-o", str(tmp_path / "b.yaml"), stdin=f"x\n{number}\n")
    assert asked.returncode == 2
    assert "is not in the list" in asked.stderr
    lines = [*answers("roadster")[:-1], number]
    reviewed = run("start", "-o", str(tmp_path / "c.yaml"), stdin="".join(f"{line}\n" for line in lines))
    assert reviewed.returncode == 2
    assert "a number from 1 to" in reviewed.stderr
    assert "Traceback" not in copied.stderr + asked.stderr + reviewed.stderr


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
