"""The program run in process on a mutant, and what must hold whatever the mutant is."""

from __future__ import annotations

import copy
import io
import json
import math
import re
import signal
import sys
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from random import Random
from types import FrameType
from typing import Any

import yaml

from anchorcalc import output
from anchorcalc.catalog import tables as catalog_module
from anchorcalc.catalog.tables import Catalog
from anchorcalc.cli import group
from anchorcalc.cli.common import guarded
from anchorcalc.resources import data_folder
from anchorcalc.scenario.writer import scenario_text
from tests.fuzz import mutation, pairs
from tests.fuzz.mutation import Mutant

SLOWEST = {"check": 2.0, "check in JSON": 4.0, "compare": 6.0, "start": 6.0}
"""Seconds of the program's own: one check, each anchor's least strength too, one of each mounting, with conditions."""
_HANGING = 30
_MOST_KEPT = 200  # texts of tables
_NOT_FINITE = re.compile(r"(?<![\w.-])(nan|inf|infinity)(?![\w.-])", re.IGNORECASE)
_ANSWERS = Path(__file__).parents[1] / "cli" / "answers"
_REAL_CATALOG = Catalog


class Finding(AssertionError):  # noqa: N818 - says what it is
    """Something that must not be, and the mutant that brought it about."""


@dataclass
class Outcome:
    """What one run said."""

    command: str
    status: int
    out: str
    err: str
    seconds: float


class Bench:
    """Runs mutants; the shipped tables are read once for all of them.

    `patience`: how many times what a command may take it is given, on a machine that has other work, or is slow.
    """

    def __init__(self, folder: Path, patience: float = 1.0) -> None:
        self._folder, self._patience = folder, patience
        shipped = _REAL_CATALOG()
        catalog_module.Catalog = lambda own=(): _REAL_CATALOG(own) if own else shipped  # type: ignore[assignment,misc]
        self._own_write, output.write_whole = output.write_whole, self._keep
        self._readers = {name: getattr(catalog_module, name) for name in ("_load", "_shipped", "_own_rows")}
        for name, reader in self._readers.items():
            setattr(catalog_module, name, _once(reader))
        self.written: str | bytes | None = None
        self.statuses: Counter[int] = Counter()
        self.scenarios = {path.stem: path.read_bytes() for path in sorted(data_folder("scenarios").glob("*.yaml"))}
        self.texts = {name: _texts(data) for name, data in self.scenarios.items()}
        self.texts |= {f"{name} in full": _in_full(texts) for name, texts in self.texts.items()}
        self.texts["roadster as fitted"] = _as_fitted(self.texts["roadster"])
        self.texts["roadster on wood"] = _on_wood(self.texts["roadster"])
        self.scenarios = {name: scenario_text(texts).encode() for name, texts in self.texts.items()} | self.scenarios
        self.answers = {
            path.stem: path.read_text(encoding="utf-8").splitlines() for path in sorted(_ANSWERS.glob("*.txt"))
        }
        self.own_tables, self.own_scenario = _own_tables()
        self._own_texts = {table: _table_text(rows) for table, rows in self.own_tables.items()}
        for table, text in self._own_texts.items():
            (folder / table).parent.mkdir(parents=True, exist_ok=True)
            (folder / table).write_bytes(text)
        for name in ("roadster", "mower-planks"):  # what is imported at the first check is no mutant's time
            self._run(["check", "-"], self.scenarios[name])
        self.statuses.clear()

    def close(self) -> None:
        """Put back what was replaced."""
        catalog_module.Catalog = _REAL_CATALOG  # type: ignore[misc]
        output.write_whole = self._own_write
        for name, reader in self._readers.items():
            setattr(catalog_module, name, reader)

    def _keep(self, path: Path, content: str | bytes, *, overwrite: bool) -> None:
        self.written = content

    # --- one mutant of each kind -----------------------------------------------------------------------

    def scenario(self, seed: int) -> None:
        """A mutated scenario through `check` or `compare`."""
        random = Random(seed)
        name = random.choice(list(self.scenarios))
        make = random.choice(("bytes", "lines", "structure", "numbers", "scale", "scale", *3 * ("plausible",)))
        source: Any = self.scenarios[name] if make in ("bytes", "lines") else self.texts[name]
        mutant: Mutant = getattr(mutation, f"by_{make}")(source, random)
        form = random.choice(("json", "json", "json", "screen"))
        command = random.choice(("check", "check", "check", "check", "compare"))
        outcome = self._run([command, "-", "--format", form], mutant.data)
        _judge(mutant, outcome, form, command == "check")

    def pair(self, seed: int) -> None:
        """A scenario and the same for the worse; see `pairs`."""
        random = Random(seed)
        found = pairs.pair(self.texts[random.choice(list(self.texts))], random, catalog_module.Catalog())
        if found is None:
            self.statuses[2] += 1
            return
        self.statuses[int(found.after.verdict != "pass")] += 1
        if found.wrong:
            verdicts = f"{found.before.verdict}, and for the worse {found.after.verdict}, {found.eased:.1%} eased"
            raise Finding(f"{found.kind}; {verdicts}\n{found.texts}\n{found.worse}")

    def answer(self, seed: int) -> None:
        """A mutated file of answers through `start`."""
        random = Random(seed)
        mutant = mutation.of_answers(self.answers[random.choice(list(self.answers))], random)
        self.written = None
        outcome = self._run(["start", "-o", "written.yaml", "--overwrite"], mutant.data)
        _judge(mutant, outcome, "screen", False)
        if (outcome.status == 2) != (self.written is None):
            raise Finding(f"status {outcome.status} and {'no' if self.written is None else 'a'} file: {mutant}")
        if self.written is not None:
            data = self.written if isinstance(self.written, bytes) else self.written.encode()
            again = self._run(["check", "-", "--format", "json"], data)
            _judge(Mutant(data, mutant.what, mutant.impossible), again, "json", True)
            if again.status != outcome.status:
                raise Finding(f"written with status {outcome.status}, checked with {again.status}: {mutant}")

    def table(self, seed: int) -> None:
        """A scenario on tables of one's own, one of them mutated."""
        random = Random(seed)
        name = random.choice(list(self.own_tables))
        mutant = mutation.of_table(self.own_tables[name], random, _table_text)
        form = random.choice(("json", "json", "screen"))
        path = self._folder / name
        path.write_bytes(mutant.data)
        try:
            outcome = self._run(["check", "-", "--format", form, "--tables", str(self._folder)], self.own_scenario)
        finally:
            path.write_bytes(self._own_texts[name])
        counts = mutant.impossible and Path(name).stem not in dict(_UNUSED)
        _judge(Mutant(mutant.data, f"{name} {mutant.what}", counts), outcome, form, True)

    def _run(self, arguments: list[str], data: bytes) -> Outcome:
        out, err = (io.TextIOWrapper(io.BytesIO(), encoding="utf-8", newline="") for _ in range(2))
        with _streams(io.TextIOWrapper(io.BytesIO(data), encoding="utf-8"), out, err), _alarm():
            start = time.thread_time()
            try:
                status = guarded(lambda: group.main(list(arguments), standalone_mode=False, prog_name="anchorcalc"))
            except Exception as error:
                raise Finding(f"{type(error).__name__}: {error}\n{arguments}\n{data!r}") from error
            seconds = (time.thread_time() - start) / self._patience  # its own: others may be at work on the machine
        texts = []
        for stream in (out, err):
            stream.flush()
            texts.append(stream.buffer.getvalue().decode())  # type: ignore[attr-defined]
        self.statuses[int(status)] += 1
        return Outcome(arguments[0], int(status), texts[0], texts[1], seconds)


def _judge(mutant: Mutant, outcome: Outcome, form: str, silent_if_refused: bool) -> None:
    def claim(holds: bool, what: str) -> None:
        if not holds:
            raise Finding(f"{what}; {mutant.what}\n{mutant.data!r}\n{outcome.out[-600:]}\n{outcome.err[-600:]}")

    most = SLOWEST["check in JSON" if form == "json" and outcome.command == "check" else outcome.command]
    claim(outcome.seconds < most, f"{outcome.command} took {outcome.seconds:.1f} s")
    claim(outcome.status in (0, 1, 2), f"status {outcome.status}")
    claim(not (mutant.impossible and outcome.status == 0), "passes with an impossible quantity")
    claim("\x1b" not in outcome.out + outcome.err, "control characters on the screen")
    if outcome.status == 2:
        claim(outcome.err != "" or not silent_if_refused, "refused without a word")
        claim(outcome.out == "" or not silent_if_refused, "refused, yet something was computed")
        return
    if form == "json":
        data = json.loads(outcome.out, parse_constant=lambda text: claim(False, f"{text} in JSON"))
        claim(all(map(math.isfinite, _numbers(data))), "a number in JSON is not finite")
        if "verdict" in data:
            claim((data["verdict"] == "pass") == (outcome.status == 0), "verdict and status differ")
    elif not _NOT_FINITE.search(mutant.data.decode("utf-8", "replace")):
        claim(not _NOT_FINITE.search(outcome.out), "a number on the screen is not finite")


def _numbers(data: Any) -> Iterator[float]:
    if isinstance(data, dict):
        for part in data.values():
            yield from _numbers(part)
    elif isinstance(data, list):
        for part in data:
            yield from _numbers(part)
    elif isinstance(data, float | int):
        yield float(data)


@contextmanager
def _streams(stdin: Any, out: Any, err: Any) -> Iterator[None]:
    before = sys.stdin, sys.stdout, sys.stderr
    sys.stdin, sys.stdout, sys.stderr = stdin, out, err
    try:
        yield
    finally:
        sys.stdin, sys.stdout, sys.stderr = before


@contextmanager
def _alarm() -> Iterator[None]:
    """Break a run that hangs."""

    def ring(_: int, __: FrameType | None) -> None:
        raise Finding(f"hangs: more than {_HANGING} s")

    before = signal.signal(signal.SIGPROF, ring)
    signal.setitimer(signal.ITIMER_PROF, _HANGING)  # seconds of the program's own, as in `_run`
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


def _once(reader: Any) -> Any:
    """What `reader` makes of a table, made once from the same text: all but the mutated one are as they were."""
    known: dict[tuple[Path, bytes], Any] = {}
    shipped = data_folder("tables")

    def once(path: Path, *more: Any) -> Any:
        # No run changes what is shipped.
        key = path, b"" if path.is_relative_to(shipped) else path.read_bytes()
        if key not in known:
            made = reader(path, *more)
            if len(known) > _MOST_KEPT:
                known.clear()
            known[key] = made
        return known[key]

    return once


def _texts(data: bytes) -> dict[str, Any]:
    found = yaml.load(data, Loader=yaml.BaseLoader)
    assert isinstance(found, dict)
    return found


def _in_full(texts: dict[str, Any]) -> dict[str, Any]:
    """A scenario with the keys that hardly anybody gives."""
    full = copy.deepcopy(texts)
    layers = full["deck"]["layers"]
    full["load"]["tyre_print"] = ["4 in", "6 in"]
    full["deck"]["hold_down"].update(first_at="2 in", heads_on=str(len(layers)))
    full["deck"]["cross_members"]["joint"] = {"weld": "1/8 in", "length": "4 in"}
    for layer in layers:
        if layer["panel"] == "sawn-planks":
            layer.update(plank_width="5 1/2 in", screws_per_crossing="2")
    for layer in layers[:-1]:
        layer["fixed"] = {"screw": "#10 wood screw", "spacing": "8 in"}
    for mounting in full["mountings"].values():
        ring = mounting["ring"]
        ring.update(base_steel="mild", foot=["1 in", "1 in"])
        if "rated" in ring:
            ring["rated_flat"] = ring["rated"]
    return full


def _as_fitted(texts: dict[str, Any]) -> dict[str, Any]:
    """The roadster with a ring welded on, two on one turned base, a pan, members off the spacing and screws gone."""
    full = copy.deepcopy(texts)
    full["deck"]["cross_members"].update(rails="60 in", also_at=["100 in"], without=["88 in"])
    full["deck"]["cross_members"].update(outriggers="welded", joint={"weld": "1/8 in", "length": "4 in"})
    full["deck"]["hold_down"]["condition"] = "some missing"
    plated = next(iter(full["mountings"].values()))
    plated.update(base_turned="30 deg")
    pan, welded = copy.deepcopy(plated), copy.deepcopy(plated)
    pan["cut_out"] = {"circle": "1 1/2 in", "layers": "1"}
    del welded["fasteners"], welded["base_turned"]
    welded["backing"] = {"kind": "frame", "weld": "1/8 in", "length": "6 in"}
    full["mountings"] |= {"pan": pan, "welded": welded}
    (first, second, third, _) = full["anchors"]
    full["anchors"][second] = {"on": first, "at": [full["anchors"][first]["at"][0], "33 in"]}
    full["anchors"][third] |= {"mounting": "welded", "at": ["24 in", "34 in"]}
    return full


def _on_wood(texts: dict[str, Any]) -> dict[str, Any]:
    """The roadster on bearers of wood that run lengthwise, without what these do not go with."""
    full = copy.deepcopy(texts)
    timber = {"wood": "hem-fir", "breadth": "1 1/2 in", "depth": "3 1/2 in", "condition": "weathered"}
    places = {"first_at": "8 in", "spacing": "16 in", "also_at": ["2 in"], "without": ["0 in"]}
    full["deck"]["cross_members"] = {
        "timber": timber,
        "run": "lengthwise",
        **places,
        "beams": ["0 in", "90 in", "180 in"],
    }
    full["deck"]["hold_down"] |= {"screw": "#10 wood screw", "length": "2 1/2 in"}
    kept = {
        name: each
        for name, each in full["mountings"].items()
        if each["backing"]["kind"] in ("plate", "washers", "none")
    }
    full["mountings"] = kept
    for anchor in full["anchors"].values():
        anchor["mounting"] = next(iter(kept))
    return full


def _table_text(rows: Any) -> bytes:
    return yaml.safe_dump(rows, allow_unicode=True, sort_keys=False).encode("utf-8", "surrogatepass")


def _own_tables() -> tuple[dict[str, Any], bytes]:
    """Copies of the rows that the roadster uses under names of one's own, and the roadster on them; and others.

    Rows that have a size get one of their own too, else they would be twins of what they are copied from.
    """
    text = (data_folder("scenarios") / "roadster.yaml").read_text(encoding="utf-8")
    own: dict[str, Any] = {}
    for file, name, old, new in _USED:
        own[f"{file}.yaml"] = _own_row(file, name)
        assert old in text
        text = text.replace(old, new)
    for file, name in _UNUSED:
        own[f"{file}.yaml"] = _own_row(file, name)
    return own, text.encode()


_USED = (
    ("steels", "6061-T6", "steel: mild", "steel: own 6061-T6"),
    ("panels", "softwood-plywood", "panel: softwood-plywood", "panel: own softwood-plywood"),
    ("conditions", "sound", "condition: sound", "condition: own sound"),
    ("members", "tube-2x2x1/8", "section: tube-2x2x1/8", "section: own tube-2x2x1/8"),
    ("bolt_grades", "SAE 5", "grade: SAE 5", "grade: own SAE 5"),
    ("threads", "1/2-13", "size: 1/2-13", "size: own 1/2-13"),
    ("screws", "#12 self-drilling", 'screw: "#12 self-drilling"', 'screw: "own #12 self-drilling"'),
    ("rules/own", "us-road", "rules: us-road", "rules: own us-road"),
)
_UNUSED = (
    ("straps", "webbing 2 in"),
    ("washers", "large 3/8-16 x 2"),
    ("plates", "inch plate"),
    ("drill_sizes", "1/2-13"),
    ("bolt_lengths", "inch"),
    ("factors", "aisc_bolt"),
    ("fitting_factors", "edge_of_panel"),
    ("usual_ranges", "length of a deck"),
)
_OWN_SIZE = {
    "members": {"thickness": "0.114 in"},
    "threads": {"pitch": "0.08 in"},
    "screws": {"size": "own"},
    "straps": {"grade": "own"},
    "washers": {"thickness": "0.08 in"},
}


def _own_row(file: str, name: str) -> Any:
    rules = file == "rules/own"
    rows = yaml.safe_load((data_folder("tables") / f"{'rules/us-road' if rules else file}.yaml").read_bytes())
    row = rows if rules else next(row for row in rows if row["name"] == name)
    row = {**row, "name": f"own {name}", **_OWN_SIZE.get(file, {})}
    return row if rules else [row]
