"""What the screen leaves out of a result, and what it may not."""

from __future__ import annotations

from pathlib import Path

import pytest

from anchorcalc.catalog.tables import Catalog
from anchorcalc.render.screen.everything import show_all
from tests.cli.test_commands import ROADSTER, run
from tests.conftest import Texts, checked, roadster


def assumed(texts: Texts, catalog: Catalog, capsys: pytest.CaptureFixture[str]) -> str:
    """The list of assumptions as it is printed, on one line."""
    show_all(checked(texts, catalog))
    printed = " ".join(capsys.readouterr().out.split())
    return printed.split("Assumed, since not given ")[1].split(" Look again ")[0]


def test_assumptions_of_one_kind_stand_together_by_name(catalog: Catalog, capsys: pytest.CaptureFixture[str]) -> None:
    texts = roadster()
    for strap in texts["straps"].values():
        del strap["hand_tension"]
    shown = assumed(texts, catalog, capsys)
    assert "- hand tension of strap front left, front right, rear left, rear right: " in shown


def test_assumptions_of_unlike_things_are_each_named(catalog: Catalog, capsys: pytest.CaptureFixture[str]) -> None:
    texts = roadster()
    texts["assumed"] = {f"thing {number}": "no" for number in range(4)}
    shown = assumed(texts, catalog, capsys)
    assert all(f"- thing {number}: no (not known when" in shown for number in range(4))
    texts["assumed"] |= {"thing 4": "yes"}
    why = "not known when the file was written; put right what you have measured"
    many = "; ".join(f"thing {number}: {'yes' if number == 4 else 'no'}" for number in range(5))
    assert f"- {why}: {many}" in assumed(texts, catalog, capsys)


def test_long_lists_of_names_are_counted(catalog: Catalog, capsys: pytest.CaptureFixture[str]) -> None:
    texts = roadster()
    texts["assumed"] = {f"colour of strap {name}": "red" for name in texts["straps"]}
    for number in range(5):
        texts["straps"][f"spare {number}"] = dict(texts["straps"]["front left"])
        texts["assumed"][f"colour of strap spare {number}"] = "red"
    shown = assumed(texts, catalog, capsys)
    assert "colour of strap front left, front right, rear left, rear right, spare 0, spare 1 and 3 more: red" in shown


def test_the_file_of_an_own_row_is_never_shown_raw(tmp_path: Path) -> None:
    folder = tmp_path / "own\x1b[31m"
    folder.mkdir()
    steel = "- {name: my steel, F_y: 50 ksi, F_u: 65 ksi, E: 29000 ksi, density: 7850 kg/m3, source: mill sheet}\n"
    (folder / "steels.yaml").write_text(steel, encoding="utf-8")
    text = Path(ROADSTER).read_text(encoding="utf-8")
    done = run("check", "-", "--all", "--tables", str(folder), stdin=text.replace("steel: mild}", "steel: my steel}"))
    assert "my steel (" in " ".join(done.stdout.split())
    assert "own\\x1b[31m" in "".join(done.stdout.split())
    assert "\x1b" not in done.stdout
