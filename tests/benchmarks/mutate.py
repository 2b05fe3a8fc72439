"""How much of a wrong line the tests notice: one thing is changed at a time, and the tests that cover it are run.

Changed are operators, comparisons, constants (by a tenth), least and greatest, and factors left out in the mechanics,
the links, the rules and the demand, and by a tenth each figure of the tables. A change that no test minds has survived.
Run as a script; nothing is asserted, and the working copy is not touched. Which tests come by a line is measured first
(pytest-cov is no dependency of the project; install it beside):

pytest -n 2 --cov=anchorcalc --cov-context=test --junitxml tests.xml -o junit_family=xunit1 \\
    tests/{links,mechanics,verdict,published}
python tests/benchmarks/mutate.py --sample 60 --seed 1 --only anchorcalc/mechanics
python tests/benchmarks/mutate.py --only tables/washers.yaml
"""

from __future__ import annotations

import argparse
import ast
import importlib
import os
import pkgutil
import random
import re
import resource
import shutil
import sys
import tempfile
import time
from bisect import bisect
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import accumulate
from pathlib import Path
from xml.etree import ElementTree

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before numpy is loaded: more threads only get in each other's way

import coverage
import numpy  # noqa: F401 - loaded once for all that is forked, as those below
import pint  # noqa: F401
import pydantic  # noqa: F401
import pytest
import scipy.optimize
import scipy.sparse.linalg  # noqa: F401
import yaml
from hypothesis import Phase, settings

ROOT = Path(__file__).parents[2]
CHANGED = (
    "anchorcalc/mechanics/*.py",
    "anchorcalc/links/*.py",
    "anchorcalc/verdict/rules.py",
    "anchorcalc/verdict/demand.py",
    "tables/*.yaml",
    "tables/rules/*.yaml",
)

# Tests of the tables: which of them reads a figure is not measured.
OF_TABLES = (
    "tests/test_pins.py",
    "tests/catalog",
    "tests/verdict/test_rules.py",
    "tests/fitting/test_install.py",
    "tests/scenario/test_plausible.py",
)

DECIDES = "decides a strength or a demand"
# Figures of the tables that decide neither: files, and fields of any file. Told apart, since a usual range or a typical
# trailer that is a tenth off is no error: what tests hold of them is that a warning comes at the ends of a range, and
# that `start` begins from something sound.
KINDS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "warns, or is a place to begin from": (("tables/usual_ranges.yaml", "tables/typical.yaml"), ()),
    "fitting, stock, and what is only shown": (
        (
            "tables/drill_sizes.yaml", "tables/fitting_factors.yaml", "tables/bolt_lengths.yaml", "tables/plates.yaml",
            "tables/yardsticks.yaml",
        ),
        ("nut_height", "locking_nut_height", "density"),
    ),
}  # fmt: skip

# What fails is not made as small as can be: that it fails is all that is asked.
settings.register_profile(
    "found is enough", derandomize=True, deadline=None, max_examples=25, phases=(Phase.explicit, Phase.generate)
)
ENOUGH = 40.0  # s of tests for one change: what none of them minds has survived
TOLERANCE = 1e-5  # constants below are for rounding: a tenth more of them is no other program

OPERATORS: dict[type[ast.operator], list[type[ast.operator]]] = {
    ast.Add: [ast.Sub],
    ast.Sub: [ast.Add],
    ast.Mult: [ast.Div],
    ast.Div: [ast.Mult],
    ast.Pow: [ast.Mult],
}
COMPARISONS: dict[type[ast.cmpop], list[type[ast.cmpop]]] = {
    ast.Lt: [ast.GtE, ast.LtE],
    ast.LtE: [ast.Gt, ast.Lt],
    ast.Gt: [ast.LtE, ast.GtE],
    ast.GtE: [ast.Lt, ast.Gt],
    ast.Eq: [ast.NotEq],
    ast.NotEq: [ast.Eq],
}
OPPOSITE = {
    "min": "max",
    "max": "min",
    "minimum": "maximum",
    "maximum": "minimum",
    "argmin": "argmax",
    "argmax": "argmin",
}


@dataclass(frozen=True)
class Change:
    """Bytes from `start` to `end` of a file replaced."""

    path: str
    line: int
    last_line: int
    start: int
    end: int
    new: bytes
    words: str
    kind: str = "code"

    def applied(self, content: bytes) -> bytes:
        return content[: self.start] + self.new + content[self.end :]


# --- what may be changed ------------------------------------------------------------------------------------


def changes_in(path: Path, name: str) -> list[Change]:
    content = path.read_bytes()
    found = _code_changes(name, content) if path.suffix == ".py" else _figure_changes(name, content)
    return list(found)


def _code_changes(name: str, content: bytes) -> Iterator[Change]:
    starts = [0]
    for line in content.splitlines(keepends=True):
        starts.append(starts[-1] + len(line))

    def change(node: ast.expr, new: ast.expr) -> Change:
        assert node.end_lineno is not None
        assert node.end_col_offset is not None
        start = starts[node.lineno - 1] + node.col_offset
        end = starts[node.end_lineno - 1] + node.end_col_offset
        before = " ".join(content[start:end].decode("utf-8").split())
        after = ast.unparse(new)
        return Change(name, node.lineno, node.end_lineno, start, end, f"({after})".encode(), f"{before}  →  {after}")

    tree = ast.parse(content)
    left_alone = {id(node) for node in _idle(tree)}
    for node in ast.walk(tree):
        if id(node) not in left_alone and isinstance(node, ast.expr):
            for new in _instead_of(node):
                yield change(node, new)


def _idle(tree: ast.AST) -> Iterator[ast.AST]:
    """Nodes whose change means nothing: annotations, messages of errors, defaults of keywords that name a shape."""
    for node in ast.walk(tree):
        idle: list[ast.AST | None] = []
        if isinstance(node, ast.Raise):
            idle = [node.exc]
        elif isinstance(node, ast.FunctionDef):
            idle = [node.returns, *(each.annotation for each in [*node.args.args, *node.args.kwonlyargs])]
        elif isinstance(node, ast.AnnAssign):
            idle = [node.annotation]
        elif isinstance(node, ast.keyword) and node.arg in ("axis", "keepdims", "shape", "indexing"):
            idle = [node.value]
        elif isinstance(node, ast.Subscript):
            idle = [node.slice]
        for each in idle:
            if each is not None:
                yield from ast.walk(each)


def _instead_of(node: ast.expr) -> Iterator[ast.expr]:
    if isinstance(node, ast.BinOp):
        for operator in OPERATORS.get(type(node.op), []):
            yield ast.BinOp(node.left, operator(), node.right)
        if isinstance(node.op, ast.Mult | ast.Div):
            yield node.left  # a factor left out
    elif isinstance(node, ast.Compare) and len(node.ops) == 1:
        for comparison in COMPARISONS.get(type(node.ops[0]), []):
            yield ast.Compare(node.left, [comparison()], node.comparators)
    elif isinstance(node, ast.Constant) and type(node.value) in (int, float):
        if node.value == 0 or abs(node.value) > TOLERANCE:
            yield ast.Constant(1.1 * node.value if node.value else 1)
    elif isinstance(node, ast.Call):
        function = node.func
        if isinstance(function, ast.Attribute) and function.attr in OPPOSITE:
            opposite = ast.Attribute(function.value, OPPOSITE[function.attr], ast.Load())
            yield ast.Call(opposite, node.args, node.keywords)
        elif isinstance(function, ast.Name) and function.id in OPPOSITE:
            yield ast.Call(ast.Name(OPPOSITE[function.id], ast.Load()), node.args, node.keywords)


_QUANTITY = re.compile(r"(-?)(\d+ \d+/\d+|\d+/\d+|\d*\.?\d+(?:e[+-]?\d+)?)(?: [a-zA-Z][\w/]*)?")
_NAMES = ("name", "bolt", "size", "grade")


def _figure_changes(name: str, content: bytes) -> Iterator[Change]:
    """Every figure of a table but those that are names; words that begin with a number are none."""
    text = content.decode("utf-8")
    lines = text.splitlines()
    for keys, node in _scalars(yaml.compose(text, Loader=yaml.SafeLoader), ()):
        found = _QUANTITY.fullmatch(node.value)
        if found is None or keys[-1] in _NAMES:
            continue
        new = f"{1.1 * _value(found[2]) or 0.1:.6g}"
        quotes = node.style is not None
        start = node.start_mark.index + quotes + len(found[1])
        line = node.start_mark.line
        words = f"{lines[line].strip()[:60]} … {'.'.join(keys)}: {found[0]}  →  {found[1]}{new}"
        before = len(text[:start].encode())
        yield Change(name, line + 1, line + 1, before, before + len(found[2]), new.encode(), words, kind_of(name, keys))


def _scalars(node: yaml.Node, keys: tuple[str, ...]) -> Iterator[tuple[tuple[str, ...], yaml.ScalarNode]]:
    """Every scalar below `node` with the keys that lead to it."""
    if isinstance(node, yaml.MappingNode):
        for key, value in node.value:
            yield from _scalars(value, (*keys, key.value))
    elif isinstance(node, yaml.SequenceNode):
        for value in node.value:
            yield from _scalars(value, keys)
    elif isinstance(node, yaml.ScalarNode):
        yield keys, node


def kind_of(name: str, keys: tuple[str, ...]) -> str:
    """What a figure is for, by KINDS."""
    return next((kind for kind, (files, fields) in KINDS.items() if name in files or keys[-1] in fields), DECIDES)


def _value(text: str) -> float:
    whole, _, part = text.rpartition(" ")
    top, _, bottom = part.partition("/")
    return float(whole or 0) + float(top) / float(bottom or 1)


def why_equivalent(change: Change) -> str:
    """Why no test could mind the change, where equivalent.yaml says so."""
    line = (ROOT / change.path).read_text(encoding="utf-8").splitlines()[change.line - 1]
    listed = yaml.safe_load((Path(__file__).with_name("equivalent.yaml")).read_text(encoding="utf-8"))
    same = (each for each in listed if each["file"] == change.path and each["change"] == change.words)
    return next((str(each["why"]) for each in same if each["line"] in line), "")


# --- what covers it -----------------------------------------------------------------------------------------


class Covering:
    """Which tests come by a line, and how long they take, of a run of all tests under coverage."""

    def __init__(self, folder: Path) -> None:
        self.data = coverage.CoverageData(str(folder / ".coverage"))
        self.data.read()
        self.files = {str(Path(each).relative_to(ROOT)): each for each in self.data.measured_files()}
        self.seconds: Counter[str] = Counter()
        for case in ElementTree.parse(folder / "tests.xml").iter("testcase"):
            self.seconds[_node(case)] += float(case.get("time") or 0)

    def tests(self, change: Change) -> tuple[list[str], float]:
        """Tests that come by the lines of `change`, the quick ones first, and how long they take [s]."""
        lines = self.data.contexts_by_lineno(self.files[change.path])
        at = range(change.line, change.last_line + 1)
        by = {name.partition("|")[0] for line in at for name in lines.get(line, ())} - {""}
        if not by:  # what is read once, as the module is loaded
            by = {name.partition("|")[0] for names in lines.values() for name in names} - {""}
        quickest = sorted(by, key=lambda name: (self.seconds[name], name))
        until = list(accumulate(self.seconds[name] for name in quickest))
        enough = max(bisect(until, ENOUGH), 1)
        return quickest[:enough], until[enough - 1] if until else 0.0


def _node(case: ElementTree.Element) -> str:
    """How pytest calls a test that it has told of in XML."""
    file, name = str(case.get("file")), str(case.get("name"))
    classes = str(case.get("classname"))[len(file) - len(".py") + 1 :]
    return "::".join([file, *filter(None, classes.split(".")), name])


# --- the runs -----------------------------------------------------------------------------------------------


class Copy:
    """The project in a folder of its own, in which files are changed and tests run."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        for part in ("anchorcalc", "tables", "scenarios", "tests"):
            shutil.copytree(ROOT / part, folder / part, ignore=shutil.ignore_patterns("__pycache__", ".hypothesis"))
        shutil.copy(ROOT / "pyproject.toml", folder)
        self.failed = folder / "failed"
        self.known_sound: set[str] = set()
        sys.path.insert(0, str(folder))

    def load_code(self) -> None:
        """Load all modules once for all that is forked: for changes that leave the code alone."""
        package = importlib.import_module("anchorcalc")
        for module in pkgutil.walk_packages(package.__path__, "anchorcalc."):
            if not module.name.endswith("__main__"):
                importlib.import_module(module.name)

    def notices(self, change: Change, tests: list[str], seconds: float) -> bool:
        """Whether one of `tests` fails, or takes far more than its `seconds`, once the change is made."""
        path = self.folder / change.path
        sound = path.read_bytes()
        path.write_bytes(change.applied(sound))
        try:
            if self.passes(tests, round(4 * seconds) + 300):
                return False
        finally:
            path.write_bytes(sound)
        failed = {self.failed.read_text(encoding="utf-8")} - self.known_sound - {""}
        if failed and not self.passes(list(failed), 900):
            raise SystemExit(f"fails as it is: {failed}")
        self.known_sound |= failed
        return True

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Keep which test failed: pytest calls this."""
        if report.failed:
            self.failed.write_text(report.nodeid, encoding="utf-8")

    def passes(self, tests: list[str], longest: int) -> bool:
        """Whether all `tests` pass, in a process forked from this one, which has loaded what never changes."""
        self.failed.write_text("", encoding="utf-8")
        child = os.fork()
        if not child:
            try:
                os._exit(self._run(tests, longest))
            finally:
                os._exit(1)
        return os.waitpid(child, 0)[1] == 0

    def _run(self, tests: list[str], longest: int) -> int:
        os.chdir(self.folder)
        os.environ["HYPOTHESIS_STORAGE_DIRECTORY"] = str(self.folder)
        sys.dont_write_bytecode = True
        resource.setrlimit(resource.RLIMIT_CPU, (longest, longest))
        nowhere = os.open(os.devnull, os.O_WRONLY)
        for stream in (1, 2):
            os.dup2(nowhere, stream)
        quietly = ["-x", "-q", "-n", "0", "-p", "no:cacheprovider", "-o", "timeout=0"]
        quietly += ["-W", "ignore::pytest.PytestAssertRewriteWarning", "--hypothesis-profile=found is enough"]
        ended = 0
        for some in (tests[:4], tests[4:20], tests[20:]):  # what notices at once spares the collecting of the rest
            if some and not ended:
                ended = int(pytest.main([*quietly, *some], plugins=[self]))
        return ended


def chosen(arguments: argparse.Namespace) -> list[Change]:
    """All changes under --only, or a sample of them, in the order of the files."""
    paths = [path for pattern in CHANGED for path in sorted(ROOT.glob(pattern))]
    names = {str(path.relative_to(ROOT)): path for path in paths}
    only = arguments.only or [""]
    changes = [
        change
        for name, path in names.items()
        if any(name.startswith(start) for start in only) and path.stem != "__init__"
        for change in changes_in(path, name)
    ]
    if arguments.sample is not None and arguments.sample < len(changes):
        changes = random.Random(arguments.seed).sample(changes, arguments.sample)
    return sorted(changes, key=lambda change: (change.path, change.start))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--sample", type=int, metavar="N", help="so many of the changes, by chance")
    parser.add_argument("--seed", type=int, default=0, help="of the chance (0)")
    parser.add_argument("--only", action="append", metavar="PATH", help="files whose path begins so; may be repeated")
    changes = chosen(parser.parse_args())
    if not changes:
        raise SystemExit("nothing to change there")
    with tempfile.TemporaryDirectory() as folder:
        copy = Copy(Path(folder))
        noticed: Counter[str] = Counter()
        survivors: list[Change] = []
        start = time.perf_counter()
        of_tables = all(change.path.startswith("tables/") for change in changes)
        covering = None if of_tables else Covering(ROOT)
        if covering is None:
            copy.load_code()
        known = {change: why for change in changes if (why := why_equivalent(change))}
        changes = [change for change in changes if change not in known]
        for change, why in known.items():
            print(f"equivalent  {change.path}:{change.line}  {change.words}: {why}", flush=True)
        for number, change in enumerate(changes, start=1):
            print(f"\r{number} of {len(changes)}", end="", file=sys.stderr, flush=True)
            if covering is None or change.path.startswith("tables/"):
                tests, seconds = list(OF_TABLES), 150.0
            else:
                tests, seconds = covering.tests(change)
            seen = copy.notices(change, tests, seconds)
            noticed[change.path] += seen
            if not seen:
                survivors.append(change)
                print(f"\rsurvived  {change.path}:{change.line}  {change.words}", flush=True)
        _report(changes, noticed, survivors, time.perf_counter() - start)


def _report(changes: list[Change], noticed: Counter[str], survivors: list[Change], seconds: float) -> None:
    print()
    for path, count in Counter(change.path for change in changes).items():
        print(f"{path:<40} {noticed[path]:>4} of {count:>4} noticed")
    if any(change.kind != "code" for change in changes):
        missed = Counter(change.kind for change in survivors)
        for kind, count in Counter(change.kind for change in changes).items():
            print(f"{kind:<40} {count - missed[kind]:>4} of {count:>4} noticed")
    share = 1 - len(survivors) / len(changes)
    print(f"{len(changes)} changes, {len(changes) - len(survivors)} noticed: {100 * share:.0f} %, in {seconds:.0f} s")


if __name__ == "__main__":
    main()
