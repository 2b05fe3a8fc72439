"""What `improve` found on a screen: the fewest changes as numbered steps, then all that were tried."""

from __future__ import annotations

from msgspec import Struct
from rich.console import Console
from rich.text import Text

from anchorcalc.render.figures import hardware_weight, percent, units_of
from anchorcalc.render.screen.console import (
    indented,
    print_head,
    print_list,
    printing,
    short,
    table,
    to_type,
    verdict_word,
)
from anchorcalc.render.words import condition
from anchorcalc.result.improve import Improvement, TriedChange
from anchorcalc.result.strength import Verdict
from anchorcalc.units import UnitSystem

_MOST_SHOWN = 12
_CAUTION = "An estimate, not a rating: look at the result with check and fit before anything is drilled."


class Written(Struct, frozen=True):
    """A changed scenario that was written: its file, and what checking it said."""

    name: str
    verdict: Verdict
    used: float  # of the limits in the hardest case


def show_improve(answer: Improvement, file: str = "FILE", written: Written | None = None) -> None:
    """Print what would make the scenario of `file` pass, and where it was `written` so changed."""
    with printing() as out:
        _show(out, answer, units_of(answer))
        if answer.verdict != "pass":
            _show_next(out, answer, to_type(file), written)


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
        out.print(indented(f"With these changes: {condition(each)}"))
    taken = {number + 1 for number in (*answer.shortest, *answer.nearest)}
    numbered = list(enumerate(answer.changes, start=1))
    helpful = [number for number, each in numbered if _helps(each, answer)][:_MOST_SHOWN]
    told = numbered[: max([*helpful, *taken], default=0)]
    if told:
        print_head(out, f"Each change by itself (now: {percent(answer.worst_utilisation)} used)")
        shown = table("#", "change", "#used", "verdict", "#weighs", "then weakest")
        for number, change in told:
            shown.add_row(
                str(number),
                f"{change.what}: {change.to}",
                percent(change.worst_utilisation),
                verdict_word(change.verdict),
                hardware_weight(change.added_weight, units),
                change.weakest,
            )
        out.print(shown)
    if answer.untried:
        left_out = "; ".join(answer.untried)
        out.print(indented(f"Left out, since a smaller change passes, or a smaller step gains nothing: {left_out}."))
    for words in answer.beyond:
        out.print(indented(words))
    rest = len(answer.changes) - len(told)
    if rest > 0:
        out.print(indented(f"{rest} more gain little or nothing by themselves (--format json tells them)."))


def _show_next(out: Console, answer: Improvement, file: str, written: Written | None) -> None:
    out.print()
    if written is not None:
        out.print(
            indented(f"Written: {written.name}, which is {written.verdict.upper()}, {percent(written.used)} used.")
        )
        then = "check" if written.verdict == "pass" else "improve"
        out.print(indented(f"Next: anchorcalc {then} {to_type(written.name)}"))
    elif answer.shortest:
        out.print(indented(f"To take these steps: anchorcalc improve {file} --write NEW.yaml"))
    elif answer.nearest:
        some = nearest_numbers(answer)
        out.print(indented(f"To go on from there: anchorcalc improve {file} --take {some} --write NEW.yaml"))
        out.print(indented("and then: anchorcalc improve NEW.yaml, which may find what passes."))
    if answer.shortest or written is not None:
        out.print(indented(f"To take others: anchorcalc improve {file} --take 1 --write NEW.yaml"))
    out.print(indented(_CAUTION))


def nearest_numbers(answer: Improvement) -> str:
    """What comes nearest where nothing passes, as --take takes it."""
    return ",".join(str(number + 1) for number in answer.nearest)


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
    tried = f"None of {len(answer.changes)} changes passes by itself, nor any set found ({answer.sets_tried} tried"
    left = f", {answer.sets_left} not tried)" if answer.sets_left else ")"
    if not answer.nearest or answer.nearest_utilisation is None:
        return f"{tried}{left}. What governs: {answer.governs}"
    left += ". That need not be the end: taken, the nearest set may open others, see below"
    some = " and ".join(str(number + 1) for number in answer.nearest)
    used = percent(answer.nearest_utilisation)
    return f"{tried}{left}. Nearest come {some}{' together' * (len(answer.nearest) > 1)}: {used} used. {answer.governs}"


def _helps(change: TriedChange, answer: Improvement) -> bool:
    return change.verdict != answer.verdict or change.worst_utilisation < 0.99 * answer.worst_utilisation
