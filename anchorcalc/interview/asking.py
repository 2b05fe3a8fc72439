"""What all parts of the guided entry share: asking, and keeping what was said in a draft."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import TYPE_CHECKING, Any, Final

from anchorcalc.interview.guided import Answer, Draft, Question, Steps, choice, count, metres, quantity
from anchorcalc.reading.document import Plain
from anchorcalc.reading.faults import Path
from anchorcalc.units import unit_worth

if TYPE_CHECKING:
    from anchorcalc.catalog.tables import Catalog

YES_NO: Final = ("yes", "no")
_FINEST: Final = {"in": 3, "mm": 1}  # decimals of a coordinate that was worked out


class Asker:
    """Asks for parts of a scenario and keeps the answers in `draft`."""

    section = ""

    def __init__(self, catalog: Catalog, draft: Draft) -> None:
        self.catalog = catalog
        self.draft = draft

    def ask(self, where: Path, text: str, read: Callable[[str], str], key: str = "", **more: Any) -> Steps[Answer]:
        """Ask one question about the value at `where`; what is not known is noted there."""
        question = Question(key or _key(where), self.section, text, where, read, **more)
        answer = yield question
        if answer is None:
            self.draft.notes.append((where, f"{text.rstrip('?')}: not known; {question.unknown}."))
        return answer

    def need(self, where: Path, text: str, read: Callable[[str], str], key: str = "", **more: Any) -> Steps[str]:
        """Ask what has to be known."""
        answer = yield from self.ask(where, text, read, key, **more)
        assert answer is not None  # noqa: S101 - not known is only taken where `unknown` is given
        return answer

    def choose(self, where: Path, text: str, choices: Sequence[str], **more: Any) -> Steps[Answer]:
        """Ask for one of `choices`."""
        return (yield from self.ask(where, text, choice(choices), choices=tuple(choices), **more))

    def pick(self, where: Path, text: str, choices: Sequence[str], **more: Any) -> Steps[str]:
        """Ask for one of `choices` where one has to be known."""
        return (yield from self.need(where, text, choice(choices), choices=tuple(choices), **more))

    def agree(self, key: str, where: Path, text: str, origin: str, default: str = "yes", **more: Any) -> Steps[bool]:
        """Ask yes or no; what is not known counts as no."""
        answer = yield from self.ask(
            where, text, choice(YES_NO), key, choices=YES_NO, default=default, origin=origin, **more
        )
        return answer == "yes"

    def number(self, key: str, where: Path, text: str, least: int, most: int, **more: Any) -> Steps[int]:
        """Ask for a whole number."""
        return int((yield from self.need(where, text, count(least, most), key, **more)))

    def metal(self, where: Path, what: str, text: str = "What metal?", **more: Any) -> Steps[str]:
        """Ask for a steel or aluminium of the tables; what is not known is the weakest of them."""
        weakest = min(self.catalog.steels.values(), key=lambda row: (row.F_y, row.F_u)).name
        metal = yield from self.choose(
            where, text, list(self.catalog.steels), unknown=f"{weakest} is written, the weakest in the table", **more
        )
        if metal is None:
            self.assume(f"metal of {what}", f"{weakest}, the weakest in the table")
        return metal or weakest

    def length(
        self,
        key: str,
        where: Path,
        text: str,
        kind: str = "Place",
        read: Callable[[str], str] | None = None,
        **more: Any,
    ) -> Steps[float]:
        """Ask for a length that is not itself written to the file, of the model's type `kind` [m]."""
        return metres(kind, (yield from self.need(where, text, read or quantity(kind), key, **more)))

    def note(self, where: Path, sentence: str) -> None:
        """Put a comment at `where` in the file."""
        self.draft.notes.append((where, sentence))

    def assume(self, what: str, taken: str) -> None:
        """List in the file, and so in every result, that `taken` was written for want of knowing `what`."""
        self.put(("assumed", what), taken)

    def forget(self, whose: str, others: Iterable[str] = ()) -> None:
        """Take out of the list what was assumed of `whose` part, and not of one of the `others`."""
        longer = [each for each in others if each.endswith(f" of {whose}")]
        assumed: Any = self.draft.content.pop("assumed", {})
        for what, taken in assumed.items():
            if not what.endswith(f" of {whose}") or any(what.endswith(f" of {each}") for each in longer):
                self.put(("assumed", what), taken)

    def put(self, where: Path, value: Plain) -> None:
        """Write `value` at `where`, unless it is None."""
        if value is None:
            return
        place: Any = self.draft.content
        for step in where[:-1]:
            place = place.setdefault(step, {})
        place[where[-1]] = value

    def got(self, *where: str) -> Any:
        """What was written at `where`."""
        place: Any = self.draft.content
        for step in where:
            place = place[step]
        return place

    def place(self, value: float) -> str:
        """A length [m] that was worked out, as text in the scenario's units."""
        unit = "in" if self.draft.content.get("units") == "us" else "mm"
        shown = f"{value / unit_worth(unit, 'length'):.{_FINEST[unit]}f}".rstrip("0").rstrip(".")
        return f"{'0' if shown == '-0' else shown} {unit}"


def _key(where: Path) -> str:
    return " ".join(map(str, where))
