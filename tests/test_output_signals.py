"""A signal that ends the program while it writes leaves what was there, and nothing beside it."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from anchorcalc.output import OutputError, check_apart, write_whole

WRITING = """
import os, sys, time
from pathlib import Path
from anchorcalc.output import write_whole

def slow(_):
    print("writing", *sorted(os.listdir(".")), flush=True)
    time.sleep(60)

os.fsync = slow
write_whole(Path("plan.svg"), "new", overwrite=True)
print("written", flush=True)
"""

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="signals end programs otherwise there")


@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP", "SIGINT"])
@pytest.mark.parametrize("before", [None, "old"])
def test_no_part_of_a_file_is_left(name: str, before: str | None, tmp_path: Path) -> None:
    place = tmp_path / "plan.svg"
    if before is not None:
        place.write_text(before)
    environment = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[1])}
    number = getattr(signal, name)
    with subprocess.Popen([sys.executable, "-c", WRITING], cwd=tmp_path, env=environment,
                          stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True) as run:  # fmt: skip
        assert run.stdout is not None
        begun = run.stdout.readline().split()
        assert [word for word in begun if word.endswith(".part")], begun  # half written
        run.send_signal(number)
        rest = run.stdout.read()
        assert run.wait(20) == -number  # as it ends whoever has no word to say
    assert "written" not in rest
    assert sorted(path.name for path in tmp_path.iterdir()) == ([] if before is None else ["plan.svg"])
    assert before is None or place.read_text() == before


def test_what_signals_did_before_they_do_again(tmp_path: Path) -> None:
    told: list[int] = []
    before = signal.signal(signal.SIGHUP, lambda number, _: told.append(number))
    try:
        write_whole(tmp_path / "a", "x", overwrite=False)
        os.kill(os.getpid(), signal.SIGHUP)
        assert told == [signal.SIGHUP]
        assert signal.getsignal(signal.SIGTERM) is signal.SIG_DFL
    finally:
        signal.signal(signal.SIGHUP, before)


def test_another_thread_writes_too(tmp_path: Path) -> None:
    thread = threading.Thread(target=write_whole, args=(tmp_path / "a", "x"), kwargs={"overwrite": False})
    thread.start()
    thread.join()
    assert (tmp_path / "a").read_text() == "x"


def test_an_output_is_told_from_an_input_by_the_file_and_not_by_its_name(tmp_path: Path) -> None:
    source = tmp_path / "a.yaml"
    source.write_text("x")
    (tmp_path / "copy.yaml").write_text("x")
    (tmp_path / "link").symlink_to(source)
    os.link(source, tmp_path / "hard")
    for other in ("a.yaml", "./a.yaml", "link", "hard", f"../{tmp_path.name}/a.yaml"):
        with pytest.raises(OutputError, match="is read here"):
            check_apart(tmp_path / other, [tmp_path / "copy.yaml", source])
    for other in ("copy.yaml", "not there"):
        check_apart(tmp_path / other, [source, tmp_path / "lost"])
    with source.open() as file, pytest.raises(OutputError, match="is read here"):
        check_apart(source, [file.fileno()])
