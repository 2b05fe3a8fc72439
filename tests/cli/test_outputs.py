"""The commands that write files: kinds by their ending, whole files, one clear message, the same bytes each time."""

from __future__ import annotations

import io
import subprocess
import sys
from pathlib import Path

import pypdf
import pytest
import yaml

from tests.cli.test_commands import run
from tests.conftest import SCENARIOS, roadster

KINDS = [
    (("template", "roadster", "plated"), "pdf", b"%PDF-"),
    (("template", "roadster", "plated"), "svg", b"<svg "),
    (("template", "roadster", "plated"), "dxf", b"  0\nSECTION"),
    (("plan", "roadster"), "svg", b"<svg "),
    (("report", "roadster"), "html", b"<!doctype html>"),
]
HOSTILE = "</title><script>alert('x')</script>{{ 7*7 }} & \"q\" שלום %%c ^J e\u0301\u0323 ".ljust(199, "x")
IDS = [f"{arguments[0]}-{suffix}" for arguments, suffix, _ in KINDS]


@pytest.mark.parametrize(("arguments", "suffix", "start"), KINDS, ids=IDS)
def test_kind_follows_the_ending_and_bytes_repeat(
    tmp_path: Path, arguments: tuple[str, ...], suffix: str, start: bytes
) -> None:
    first, second = tmp_path / f"first.{suffix}", tmp_path / f"second.{suffix.upper()}"
    done = run(*arguments, "-o", str(first), PYTHONHASHSEED="1")
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines()[0] == f"written: {first}"
    assert run(*arguments, "-o", str(second), PYTHONHASHSEED="2", TZ="Asia/Tokyo").returncode == 0
    assert first.read_bytes().startswith(start)
    assert first.read_bytes() == second.read_bytes()


@pytest.mark.parametrize(("arguments", "suffix", "start"), KINDS, ids=IDS)
def test_what_is_there_is_kept_without_overwrite(
    tmp_path: Path, arguments: tuple[str, ...], suffix: str, start: bytes
) -> None:
    place = tmp_path / f"out.{suffix}"
    place.write_text("old")
    done = run(*arguments, "-o", str(place))
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == f"{place}: is there already; --overwrite replaces it\n"
    assert place.read_text() == "old"
    assert run(*arguments, "-o", str(place), "--overwrite").returncode == 0
    assert place.read_bytes().startswith(start)


@pytest.mark.parametrize(("arguments", "suffix", "start"), KINDS, ids=IDS)
def test_a_place_that_cannot_be_written_gets_one_line(
    tmp_path: Path, arguments: tuple[str, ...], suffix: str, start: bytes
) -> None:
    place = tmp_path / "missing" / f"out.{suffix}"
    done = run(*arguments, "-o", str(place))
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr == f"{place}: cannot be written: No such file or directory\n"
    assert list(tmp_path.iterdir()) == []
    assert start


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("template", "roadster", "plated", "-o", "out.png"), "its name must end in .pdf or .svg or .dxf"),
        (("plan", "roadster", "-o", "out.pdf"), "its name must end in .svg"),
        (("report", "roadster", "-o", "out"), "its name must end in .html or .htm"),
        (("template", "roadster", "platted", "-o", "out.pdf"), "no mounting 'platted'. Did you mean 'plated'?"),
        (("report", "roadster"), "Missing option '-o'"),
        (("report", "no-such-file", "-o", "out.html"), "no-such-file"),
    ],
)
def test_what_is_wrong_is_said(arguments: tuple[str, ...], said: str, tmp_path: Path) -> None:
    os_before = sorted(Path.cwd().glob("out*"))
    done = run(*arguments)
    assert done.returncode == 2
    assert said in done.stderr
    assert sorted(Path.cwd().glob("out*")) == os_before


def test_exit_status_of_plan_and_report_is_that_of_check(tmp_path: Path) -> None:
    some = [path for path in SCENARIOS if path.stem in ("roadster", "orchard-tractor", "cart-held-endways-only")]
    for number, path in enumerate(some):
        status = run("check", str(path)).returncode
        assert run("report", str(path), "-o", str(tmp_path / f"{number}.html")).returncode == status
        assert run("plan", str(path), "-o", str(tmp_path / f"{number}.svg")).returncode == status


def test_paper_follows_the_units_unless_given(tmp_path: Path) -> None:
    def width(*options: str) -> float:
        place = tmp_path / "out.pdf"
        assert run("template", "roadster", "plated", "-o", str(place), "--overwrite", *options).returncode == 0
        return float(pypdf.PdfReader(io.BytesIO(place.read_bytes())).pages[0].mediabox.width) / 72 * 25.4

    assert width() == pytest.approx(215.9, abs=0.1)
    assert width("--units", "si") == pytest.approx(210.0, abs=0.1)
    assert width("--paper", "a4") == pytest.approx(210.0, abs=0.1)
    assert width("--units", "si", "--paper", "letter") == pytest.approx(215.9, abs=0.1)


def test_mountings_that_no_anchor_uses_have_a_template_too(tmp_path: Path) -> None:
    for name in roadster()["mountings"]:
        assert run("template", "roadster", name, "-o", str(tmp_path / f"{name}.svg")).returncode in (0, 1)


def test_a_template_judges_its_mounting_where_it_is_used(tmp_path: Path) -> None:
    """The front straps are tighter: on the rear rings' washers theirs would not pass, and do not hang there."""
    texts = roadster()
    texts["mountings"]["bolts and washers"]["ring"]["rated"] = "640 lbf"
    for side in ("left", "right"):
        texts["anchors"][f"rear {side}"]["mounting"] = "bolts and washers"
        texts["straps"][f"front {side}"]["hand_tension"] = "250 lbf"
    scenario, drawn = tmp_path / "unlike.yaml", str(tmp_path / "washers.svg")
    verdicts = []
    for on in ("plated", "bolts and washers"):
        for side in ("left", "right"):
            texts["anchors"][f"front {side}"]["mounting"] = on
        scenario.write_text(yaml.safe_dump(texts), encoding="utf-8")
        done = run("template", str(scenario), "bolts and washers", "-o", drawn, "--overwrite")
        verdicts.append((done.stdout.splitlines()[-1], done.returncode))
    told = "; room and parts: in order"
    assert verdicts == [(f"verdict: pass{told}", 0), (f"verdict: marginal{told}", 1)]


def test_hostile_names_from_file_to_file(tmp_path: Path) -> None:
    texts = roadster()
    texts["title"] = HOSTILE + "t"
    texts["load"]["name"] = HOSTILE + "l"
    texts["mountings"][HOSTILE + "m"] = roadster()["mountings"]["plated"]
    texts["anchors"][HOSTILE + "a"] = texts["anchors"].pop("front left") | {"mounting": HOSTILE + "m"}
    texts["straps"][HOSTILE + "s"] = texts["straps"].pop("front left") | {"anchor": HOSTILE + "a"}
    scenario = tmp_path / "hostile.yaml"
    scenario.write_text(yaml.safe_dump(texts, allow_unicode=True), encoding="utf-8")
    for arguments, suffix, start in KINDS:
        mounting = (HOSTILE + "m",) if arguments[0] == "template" else ()
        done = run(arguments[0], str(scenario), *mounting, "-o", str(tmp_path / f"{arguments[0]}.{suffix}"))
        assert done.returncode in (0, 1), done.stderr[:500]
        assert (tmp_path / f"{arguments[0]}.{suffix}").read_bytes().startswith(start)
    done = run("template", str(scenario), "x" * 20_000, "-o", str(tmp_path / "none.pdf"))
    assert done.returncode == 2
    assert len(done.stderr) < 2_000


def test_heavy_packages_stay_out_of_what_does_not_need_them(tmp_path: Path) -> None:
    program = (
        "import sys; from anchorcalc.cli import group; group.main(sys.argv[1:], standalone_mode=False);"
        "print(sorted({name.split('.')[0] for name in sys.modules}"
        " & {'jinja2', 'reportlab', 'ezdxf', 'rich', 'PIL'}))"
    )
    # Words are measured by two tables of reportlab, which bring nothing else of it.
    wanted = {
        ("plan", "roadster", "-o", "plan.svg"): ["reportlab"],
        ("report", "roadster", "-o", "report.html"): ["jinja2", "reportlab"],
        ("template", "roadster", "plated", "-o", "t.svg"): ["reportlab"],
        ("template", "roadster", "plated", "-o", "t.dxf"): ["ezdxf", "reportlab"],
    }
    for arguments, packages in wanted.items():
        done = subprocess.run(
            [sys.executable, "-c", program, *arguments], cwd=tmp_path, capture_output=True, text=True, timeout=60,
            check=True,
        )  # fmt: skip
        assert done.stdout.splitlines()[-1] == str(packages)
