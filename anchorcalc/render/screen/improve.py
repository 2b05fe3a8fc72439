"""What `improve` found on a screen: the fewest changes as numbered steps, then all that were tried."""

from __future__ import annotations

import shlex

from rich.console import Console
from rich.text import Text

from anchorcalc.reading.faults import printable
from anchorcalc.render.figures import hardware_weight, percent, units_of
from anchorcalc.render.screen.console import indented, print_head, print_list, printing, short, table, verdict_word
from anchorcalc.render.words import condition
from anchorcalc.result.improve import Improvement, TriedChange
from anchorcalc.units import UnitSystem

_MOST_SHOWN = 12
_CAUTION = "An estimate, not a rating: look at the result with check and fit before anything is drilled."


def show_improve(answer: Improvement, file: str = "FILE", written: str | None = None) -> None:
    """Print what would make the scenario of `file` pass, and where it was `written` so changed."""
    with printing() as out:
        _show(out, answer, units_of(answer))
        if answer.verdict != "pass":
            _show_next(out, answer, _quoted(file), written)


def _quoted(file: str) -> str:
    return "FILE" if file == "-" else shlex.quote(printable(file))


def _show(out: Console, answer: Improvement, units: UnitSystem) -> None:
    out.print(Text.assemble(verdict_word(answer.verdict), "  ", (short(answer.title, 66), "bold")))
    if answer.verdict == "pass":
        out.print(indented("It passes as it is: nothing has to change."))
        return
    if answer.shortest:
        _show_steps(out, answer, units)
    else:
        out.print(indented(_in_vain(answer)))
        for each in answer.conditions:
            out.print(indented(f"With these: {condition(each)}"))
    helpful = [each for each in enumerate(answer.changes, start=1) if _helps(each[1], answer)][:_MOST_SHOWN]
    if helpful:
        print_head(out, f"Each change by itself (now: {percent(answer.worst_utilisation)} used)")
        shown = table("#", "change", "#used", "verdict", "#weighs", "then weakest")
        for number, change in helpful:
            shown.add_row(
                str(number),
                f"{change.what}: {change.to}",
                percent(change.worst_utilisation),
                verdict_word(change.verdict),
                hardware_weight(change.added_weight, units),
                change.weakest,
            )
        out.print(shown)
    rest = len(answer.changes) - len(helpful)
    if rest > 0:
        out.print(indented(f"{rest} more gain little or nothing by themselves (--format json tells them)."))


def _show_next(out: Console, answer: Improvement, file: str, written: str | None) -> None:
    out.print()
    if written is not None:
        out.print(indented(f"Written: {shlex.quote(printable(written))}. Next: anchorcalc check {_quoted(written)}"))
    elif answer.shortest:
        out.print(indented(f"To take these steps: anchorcalc improve {file} --write NEW.yaml"))
    if answer.changes:
        example = ",".join(str(number + 1) for number in range(min(len(answer.changes), 2)))
        out.print(indented(f"To take others: anchorcalc improve {file} --take {example} --write NEW.yaml"))
    out.print(indented(_CAUTION))


def _show_steps(out: Console, answer: Improvement, units: UnitSystem) -> None:
    steps = [answer.changes[number] for number in answer.shortest]
    together = answer.together
    assert together is not None  # noqa: S101 - there is a shortest set
    heavier = hardware_weight(together.added_weight, units)
    out.print(
        indented(
            f"{'One change' if len(steps) == 1 else f'{len(steps)} changes together'} would make it pass: "
            f"{percent(together.worst_utilisation)} used, {heavier} more to carry."
        )
    )
    print_list(out, "Steps", list(map(_step, steps)), numbered=True)
    print_list(out, "To buy", [step.buy for step in steps if step.buy])
    if answer.sets_left:
        out.print(indented(f"{answer.sets_left} smaller or equal sets were not tried: there may be a shorter one."))


def _step(change: TriedChange) -> str:
    return f"{change.what}: {change.to} (now: {change.was}); {change.effort}"


def _in_vain(answer: Improvement) -> str:
    tried = f"None of {len(answer.changes)} changes passes, alone or together ({answer.sets_tried} sets tried"
    left = f", {answer.sets_left} not tried)" if answer.sets_left else ")"
    return f"{tried}{left}. What governs with the best of them: {answer.governs}"


def _helps(change: TriedChange, answer: Improvement) -> bool:
    return change.verdict != answer.verdict or change.worst_utilisation < 0.99 * answer.worst_utilisation
