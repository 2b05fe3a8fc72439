"""Several scenarios at a glance: a table on the screen, or a line of JSON each."""

from __future__ import annotations

import json
from collections.abc import Sequence

from msgspec import Struct

from anchorcalc.reading.faults import InputFaults, path_words, printable, shortened
from anchorcalc.result import Result
from anchorcalc.result.check import by_use

_LONGEST_FILE = 40


class Line(Struct, frozen=True):
    """What the summary says of one file."""

    file: str
    verdict: str
    hardest: str
    used: str
    words: str


def line_of(file: str, outcome: Result | InputFaults) -> Line:
    """One file's line."""
    file = printable(file)
    file = file if len(file) <= _LONGEST_FILE else "…" + file[1 - _LONGEST_FILE :]
    if isinstance(outcome, InputFaults):
        count = len(outcome.faults) + outcome.more
        return Line(file, "refused", "", "", f"{count} fault{'' if count == 1 else 's'}, told apart")
    from anchorcalc.render.figures import percent
    from anchorcalc.result.words import CASE_SHORT

    case = max(outcome.cases, key=by_use)
    why = "" if outcome.verdict == "pass" or not outcome.reasons else outcome.reasons[0]
    return Line(
        file, outcome.verdict, f"{CASE_SHORT[case.case]}, {case.level}", percent(case.utilisation), shortened(why, 200)
    )


def show_summary(lines: Sequence[Line]) -> None:
    """Print all lines as one table, and how many there are of each verdict."""
    from rich.text import Text

    from anchorcalc.render.screen.console import printing, table, verdict_word

    with printing() as out:
        shown = table("scenario", "verdict", "hardest case", "#used", "first reason")
        for line in lines:
            shown.add_row(line.file, verdict_word(line.verdict), line.hardest, line.used, line.words)
        out.print(shown)
        counts = {each: sum(line.verdict == each for line in lines) for each in ("pass", "marginal", "fail", "refused")}
        told = ", ".join(f"{count} {verdict}" for verdict, count in counts.items() if count)
        out.print(Text(f"{len(lines)} scenarios: {told}. Checked alone, each tells its reasons and what was assumed."))


def summary_line(file: str, outcome: Result | InputFaults) -> str:
    """One file as one line of JSON: its whole result, or its faults."""
    if isinstance(outcome, InputFaults):
        faults = [
            {"path": path_words(fault.path), "line": fault.line, "column": fault.column, "message": fault.message,
             "hint": fault.hint}
            for fault in outcome.faults
        ]  # fmt: skip
        data = {"schema": 1, "verdict": "refused", "faults": faults, "faults_left_out": outcome.more}
    else:
        from anchorcalc.render.json.writer import SCHEMA, plain

        data = {"schema": SCHEMA, **plain(outcome)}
    # A file name may hold bytes that are no text; they are shown escaped, as in every message.
    return json.dumps({"file": printable(file), **data}, ensure_ascii=False, allow_nan=False)
