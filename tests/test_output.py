"""Files are written whole or not at all."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from anchorcalc.output import OutputError, write_whole


def _left_in(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_new_file_is_written_as_given(tmp_path: Path) -> None:
    write_whole(tmp_path / "text.svg", "höhe\n", overwrite=False)
    write_whole(tmp_path / "bytes.pdf", b"\x00\xff", overwrite=False)
    assert (tmp_path / "text.svg").read_bytes() == b"h\xc3\xb6he\n"
    assert (tmp_path / "bytes.pdf").read_bytes() == b"\x00\xff"
    assert _left_in(tmp_path) == ["bytes.pdf", "text.svg"]


def test_new_file_has_the_permissions_of_any_new_file(tmp_path: Path) -> None:
    (tmp_path / "usual").touch()
    write_whole(tmp_path / "ours", "x", overwrite=False)
    assert (tmp_path / "ours").stat().st_mode == (tmp_path / "usual").stat().st_mode


def test_existing_file_is_kept_unless_told_otherwise(tmp_path: Path) -> None:
    place = tmp_path / "plan.svg"
    place.write_text("old")
    with pytest.raises(OutputError, match=r"plan\.svg: is there already; --overwrite replaces it"):
        write_whole(place, "new", overwrite=False)
    assert place.read_text() == "old"
    place.chmod(0o640)
    write_whole(place, "new", overwrite=True)
    assert place.read_text() == "new"
    assert stat.S_IMODE(place.stat().st_mode) == 0o640
    assert _left_in(tmp_path) == ["plan.svg"]


def test_dangling_link_is_not_written_through(tmp_path: Path) -> None:
    (tmp_path / "link").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(OutputError, match="is there already"):
        write_whole(tmp_path / "link", "x", overwrite=False)
    assert _left_in(tmp_path) == ["link"]


@pytest.mark.parametrize(
    ("name", "reason"),
    [
        ("missing/plan.svg", "cannot be written: No such file or directory"),
        ("file/plan.svg", "cannot be written: Not a directory"),
        ("folder", "is a folder; name a file"),
        ("x" * 300, "cannot be written: File name too long"),
        ("nul\0byte", "cannot be written: "),
        ("pipe", "is not a plain file"),
    ],
)
def test_place_that_cannot_be_written_gets_one_line(tmp_path: Path, name: str, reason: str) -> None:
    (tmp_path / "file").write_text("old")
    (tmp_path / "folder").mkdir()
    os.mkfifo(tmp_path / "pipe")
    before = _left_in(tmp_path)
    with pytest.raises(OutputError) as caught:
        write_whole(tmp_path / name, "x", overwrite=True)
    assert reason in str(caught.value)
    assert str(caught.value).isprintable()
    assert len(str(caught.value)) < 300
    assert _left_in(tmp_path) == before


def test_a_full_disk_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    place = tmp_path / "report.html"
    place.write_text("old")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OutputError, match="No space left on device"):
        write_whole(place, "new", overwrite=True)
    assert place.read_text() == "old"
    assert _left_in(tmp_path) == ["report.html"]


def test_file_that_appears_meanwhile_is_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    place = tmp_path / "plan.svg"
    monkeypatch.setattr(os, "fsync", lambda _: place.write_text("someone else's"))
    with pytest.raises(OutputError, match="is there already"):
        write_whole(place, "ours", overwrite=False)
    assert place.read_text() == "someone else's"


def test_file_system_without_links(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", refused)
    write_whole(tmp_path / "plan.svg", "x", overwrite=False)
    assert (tmp_path / "plan.svg").read_text() == "x"
    assert _left_in(tmp_path) == ["plan.svg"]
