"""The shape of the package: rooms lean only on the rooms below them, and a scenario is put into numbers once.

Every import counts, those inside functions and those for the type checker alone as well: a module that only names
another's types cannot be understood without it either.
"""

from __future__ import annotations

import ast
from collections.abc import Callable
from functools import cache
from graphlib import TopologicalSorter
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

import anchorcalc
from anchorcalc.cli import group
from anchorcalc.rig import resolve as resolve_module

PACKAGE = "anchorcalc"
FOLDER = Path(anchorcalc.__file__).parent
MOST_LINES = 500

# Lowest first. The front door, which Python users import from, stands under the two rooms that print its version.
FRONT_DOOR = "the front door"
ORDER = (
    "resources",
    "names",
    "units",
    "output",
    "mechanics",
    "proof",
    "reading",
    "result",
    "catalog",
    "scenario",
    "rig",
    "links",
    "fitting",
    "verdict",
    "sizing",
    FRONT_DOOR,
    "render",
    "interview",
    "cli",
    "__main__",
)
COMMANDS: dict[str, tuple[str, ...]] = {
    "check": ("check", "roadster"),
    "check, several": ("check", "roadster", "orchard-tractor"),
    "compare": ("compare", "roadster"),
    "fit": ("fit", "roadster"),
    "size": ("size", "roadster", "--mounting", "bridge bars"),
    "explain": ("explain", "roadster", "front left"),
    "report": ("report", "roadster", "-o", "report.html"),
    "plan": ("plan", "roadster", "-o", "plan.svg"),
    "template": ("template", "roadster", "bridge bars", "-o", "template.svg"),
}


@cache
def modules() -> dict[str, Path]:
    """Every module of the package by its dotted name."""
    found = {}
    for path in FOLDER.rglob("*.py"):
        parts = path.relative_to(FOLDER).with_suffix("").parts
        found[".".join([PACKAGE, *parts]).removesuffix(".__init__")] = path
    return found


@cache
def imports(module: str) -> frozenset[str]:
    """Modules of the package that `module` imports anywhere in it."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(modules()[module].read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found.update(name.name for name in node.names if _ours(name.name))
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{module} imports by its own place"
            whole = node.module or ""
            inner = {f"{whole}.{name.name}" for name in node.names}
            found.update(inner & modules().keys())
            if _ours(whole) and not inner <= modules().keys():
                found.add(whole)
    assert found <= modules().keys(), f"{module} imports {found - modules().keys()}"
    return frozenset(found)


def _ours(name: str) -> bool:
    return name == PACKAGE or name.startswith(f"{PACKAGE}.")


def room(module: str) -> str:
    """The room a module stands in; a module beside the rooms is one of its own."""
    return FRONT_DOOR if module == PACKAGE else module.split(".")[1]


def test_every_room_has_its_place_in_the_order() -> None:
    assert sorted({room(module) for module in modules()}) == sorted(ORDER)


def test_rooms_lean_on_rooms_below_them_only() -> None:
    height = {name: number for number, name in enumerate(ORDER)}
    upwards = [
        f"{module} imports {other}"
        for module in modules()
        for other in imports(module)
        if height[room(other)] > height[room(module)]
    ]
    assert upwards == []


def test_no_module_leads_back_to_itself() -> None:
    order = list(TopologicalSorter({module: imports(module) for module in modules()}).static_order())  # or CycleError
    assert sorted(order) == sorted(modules())
    assert order.index("anchorcalc.rig.rig") < order.index("anchorcalc.verdict.check")


def test_mechanics_knows_nothing_of_ours() -> None:
    assert {room(other) for module in modules() if room(module) == "mechanics" for other in imports(module)} == {
        "mechanics"
    }


def test_what_is_drawn_and_printed_is_found_elsewhere() -> None:
    drawing = [module for module in modules() if room(module) == "render"]
    seen = {other for module in drawing for other in imports(module)}
    assert "anchorcalc.rig.rig" in seen
    assert "anchorcalc.rig.resolve" not in seen
    assert {room(other) for other in seen}.isdisjoint({"links", "scenario"})


def test_no_module_is_too_long_to_be_read_at_once() -> None:
    lines = {module: len(path.read_text(encoding="utf-8").splitlines()) for module, path in modules().items()}
    assert {module: count for module, count in lines.items() if count > MOST_LINES} == {}


@pytest.fixture
def resolved(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Title of every scenario that is put into numbers, in turn.

    `resolve` makes its rig in one place, by the name of it in its own module: whoever imported the function is seen.
    """
    titles: list[str] = []
    make: Callable[..., Any] = resolve_module.Rig

    def counted(**parts: Any) -> Any:
        titles.append(parts["title"])
        return make(**parts)

    monkeypatch.setattr(resolve_module, "Rig", counted)
    return titles


@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_puts_each_scenario_into_numbers_once(
    name: str, resolved: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    arguments = COMMANDS[name]
    done = CliRunner().invoke(group, arguments, standalone_mode=False)
    assert done.exception is None
    assert done.return_value in (0, 1)
    assert len(resolved) == len(set(resolved)) == sum(word in ("roadster", "orchard-tractor") for word in arguments)
