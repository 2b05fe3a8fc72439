"""Whatever is drilled or bought by says so in words where the mounting fails; little to spare is never clear."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from msgspec.structs import replace

from anchorcalc.render.fitting_words import room
from anchorcalc.resources import data_folder
from anchorcalc.result.fitting import AnchorPlace, Tightest
from tests.cli.test_commands import run

WORDS = "NOT STRONG ENOUGH"
NOT_BUILT = "CANNOT BE BUILT AS WRITTEN"


@pytest.mark.parametrize("ending", ["svg", "dxf", "pdf"])
def test_the_template_of_a_mounting_that_fails_says_so(ending: str, tmp_path: Path) -> None:
    place = tmp_path / f"template.{ending}"
    done = run("template", "roadster-screws", "four screws", "-o", str(place))
    assert done.returncode == 1
    assert "NOT STRONG ENOUGH, and the drawing says so" in done.stderr
    if ending == "pdf":
        from pypdf import PdfReader

        text = "\n".join(page.extract_text() for page in PdfReader(place).pages)
    else:
        text = place.read_text(encoding="utf-8")
    assert WORDS in text


@pytest.mark.parametrize("ending", ["svg", "dxf", "pdf"])
def test_every_sheet_of_a_template_says_which_distance_is_not_kept(ending: str, tmp_path: Path) -> None:
    """Four bolts 3 1/4 in apart on a plate of 4 3/8 in: 9/16 in to its edge, where half-inch bolts ask for 3/4."""
    scenario, place = tmp_path / "small.yaml", tmp_path / f"template.{ending}"
    text = (data_folder("scenarios") / "roadster.yaml").read_text(encoding="utf-8")
    scenario.write_text(text.replace("size: [6 in, 6 in]", "size: [4 3/8 in, 10 in]"), encoding="utf-8")
    done, why = run("template", str(scenario), "plated", "-o", str(place)), "plated: hole to the plate's edge"
    assert done.returncode == 1
    assert "room and parts: NOT in order" in done.stdout
    assert why in done.stderr
    sheets = [place.read_text(encoding="utf-8")] if ending != "pdf" else _sheets(place)
    assert all(why in " ".join(sheet.replace("&#39;", "'").split()) for sheet in sheets)
    assert len(sheets) == (3 if ending == "pdf" else 1)


def _sheets(place: Path) -> list[str]:
    from pypdf import PdfReader

    return [page.extract_text() for page in PdfReader(place).pages]


def test_the_template_of_a_marginal_mounting_says_so(tmp_path: Path) -> None:
    scenario, place = tmp_path / "unrated.yaml", tmp_path / "template.svg"
    text = (data_folder("scenarios") / "roadster.yaml").read_text(encoding="utf-8")
    scenario.write_text(text.replace("rated: 3333 lbf, ", "", 1), encoding="utf-8")
    assert scenario.read_text(encoding="utf-8") != text
    done = run("template", str(scenario), "plated", "-o", str(place))
    assert done.returncode == 1
    assert "verdict: marginal; room and parts: in order" in done.stdout
    assert "MARGINAL: not a pass" in place.read_text(encoding="utf-8")


def test_the_template_of_a_mounting_that_passes_does_not(tmp_path: Path) -> None:
    place = tmp_path / "template.svg"
    assert run("template", "roadster-screws", "bridge bars", "-o", str(place)).returncode == 0
    assert WORDS not in place.read_text(encoding="utf-8")


def test_fit_draws_its_picture_and_overwrites_only_when_told(tmp_path: Path) -> None:
    place = tmp_path / "fitting.svg"
    done = run("fit", "roadster-screws", "--picture", str(place))
    assert done.returncode == 1
    assert "written" in done.stderr
    first = place.read_text(encoding="utf-8")
    assert WORDS in first
    assert run("fit", "roadster", "--picture", str(place)).returncode == 2
    assert place.read_text(encoding="utf-8") == first
    refused = run("fit", "roadster", "--picture", str(tmp_path / "fitting.png"))
    assert refused.returncode == 2
    assert ".svg" in refused.stderr


def test_fit_puts_what_has_to_change_before_what_to_buy() -> None:
    done = run("fit", "roadster-screws")
    assert done.returncode == 1
    assert done.stdout.startswith(WORDS)
    assert done.stdout.index("Before anything is bought or drilled") < done.stdout.index("To buy, for all anchors")
    assert "anchorcalc improve roadster-screws" in done.stdout
    data = json.loads(run("fit", "roadster-screws", "--format", "json").stdout)
    assert data["ready"] is False
    assert data["has_to_change"]


def test_what_has_no_room_is_told_as_that_and_not_as_weak(tmp_path: Path) -> None:
    """The front left plate half over the cross-member at 168 in: its strength is marginal, its place impossible."""
    place = tmp_path / "moved.yaml"
    text = (data_folder("scenarios") / "roadster.yaml").read_text(encoding="utf-8")
    place.write_text(text.replace("at: [172 in,  34 in]", "at: [168 in,  34 in]"), encoding="utf-8")
    checked, fitted = run("check", str(place)), run("fit", str(place))
    assert checked.returncode == fitted.returncode == 1
    why = "cannot be built as written: front left: plate and cross-member 11 from the rear"
    assert why in " ".join(checked.stdout.splitlines()[1].split() + checked.stdout.splitlines()[2].split())
    drawn = (
        ("drawn.svg", "template", "plated", "-o"),
        ("fitting.svg", "fit", "--picture"),
        ("page.html", "report", "-o"),
    )
    for name, command, *options in drawn:
        on_paper = tmp_path / name
        assert run(command, str(place), *options, str(on_paper)).returncode == 1
        text = on_paper.read_text(encoding="utf-8")
        assert NOT_BUILT in text
        assert WORDS not in text
    assert fitted.stdout.startswith(NOT_BUILT)
    assert WORDS not in fitted.stdout


@pytest.mark.parametrize(("scenario", "said"), [("roadster-screws", True), ("mower-planks", False)])
def test_the_report_says_so_across_its_head(scenario: str, said: bool, tmp_path: Path) -> None:
    place = tmp_path / "report.html"
    run("report", scenario, "-o", str(place))
    text = place.read_text(encoding="utf-8")
    assert (WORDS in text) == said
    if said:
        assert text.index(WORDS) < text.index("<h1>")


def test_less_than_an_eighth_of_an_inch_to_spare_is_tight() -> None:
    near = AnchorPlace("a", "m", (0.0, 0.0), 1.0, 1.0, (), Tightest("base", "cross-member 1", 0.0031), None, None)
    assert room(near) == "tight"
    assert room(replace(near, tightest=Tightest("base", "cross-member 1", 0.125 * 0.0254))) == "clear"
