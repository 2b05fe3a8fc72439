"""Asking for a scenario one question at a time: what a question is, and how answers are taken.

Nothing is printed or read here. `Interview` hands out the next question and takes an answer to it; any answer
can be taken back or changed later, and the answers that still fit are kept.
"""

from __future__ import annotations

from collections.abc import Callable, Generator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache
from typing import Any, Final, TypeVar

from pydantic import TypeAdapter, ValidationError

from anchorcalc.interview.writer import Note
from anchorcalc.reading.document import Plain
from anchorcalc.reading.faults import Path
from anchorcalc.scenario import model
from anchorcalc.units import QuantityError, parse_quantity

NOT_KNOWN: Final = frozenset(
    {"don't know", "don\u2019t know", "dont know", "do not know", "not known", "unknown", "dk"}
)
_LONGEST_NAME: Final = 80
_MOST_DIGITS: Final = 4
_MOST_MEANT: Final = 8

T = TypeVar("T")
Answer = str | None
"""An answer as it goes into the file; None where it is not known."""


class Slip(ValueError):  # noqa: N818 - says what it is
    """An answer that will not do; the message says why and what would."""


@dataclass(frozen=True)
class Question:
    """One question; `key` is the same whenever the same thing is asked."""

    key: str
    section: str
    text: str
    where: Path
    """Place in the scenario that the answer decides."""
    read: Callable[[str], str]
    """The answer as it goes into the file; raises Slip."""
    example: str = ""
    default: str | None = None
    origin: str = ""
    """Where the default comes from."""
    unknown: str | None = None
    """What is done when the answer is not known; None where it has to be."""
    choices: tuple[str, ...] = ()
    help: str = ""


@dataclass
class Draft:
    """A scenario in the making: texts, and notes on what was not known or was worked out."""

    content: dict[str, Plain] = field(default_factory=dict)
    notes: list[Note] = field(default_factory=list)
    front_shares: dict[int, Plain] = field(default_factory=dict)
    """Where the centre of gravity lies for each weight on the front wheels that may be [%]; empty if it is known."""


Steps = Generator[Question, Answer, T]
"""A walk through questions that ends with a T."""


class Interview:
    """Takes answers to the questions of a walk, in order, and remembers them.

    `question` is the one to answer now, None when all are answered and `draft` is whole. What stands at its place
    in `present`, a scenario that is there already, is offered as its answer.
    """

    def __init__(self, walk: Callable[[], Steps[Draft]], present: Mapping[str, Plain] | None = None) -> None:
        self._walk = walk
        self._present = present
        self._known: dict[str, Answer] = {}
        self._former: dict[str, Answer] = {}
        self.question: Question | None = None
        self.draft: Draft | None = None
        self.answered: list[tuple[Question, Answer]] = []
        self._restart()

    def answer(self, text: str) -> None:
        """Take `text` as the answer to `question`.

        Raises
        ------
        Slip
            It will not do; the question stays.
        """
        assert self.question is not None, "nothing is asked"  # noqa: S101 - the caller's part
        value = understood(self.question, text)
        self._known[self.question.key] = value
        self._go_on(value)

    def back(self) -> None:
        """Ask the question before again; at the first one nothing changes."""
        if self.answered:
            self.change(len(self.answered) - 1)

    def change(self, index: int) -> None:
        """Ask question number `index` of `answered` again; later answers are kept where they still fit."""
        key = self.answered[index][0].key
        self._former[key] = self._known.pop(key)
        self._restart()

    def _restart(self) -> None:
        self._steps = self._walk()
        self.answered = []
        self.question, self.draft = None, None
        self._pose(next(self._steps))
        self._take_known()

    def _go_on(self, value: Answer) -> None:
        self._send(value)
        self._take_known()

    def _take_known(self) -> None:
        while self.question is not None and self.question.key in self._known:
            value = self._known[self.question.key]
            try:
                understood(self.question, "dk" if value is None else value)
            except Slip:  # an earlier answer has changed what is allowed here
                self._former[self.question.key] = self._known.pop(self.question.key)
                self._pose(self.question)
                return
            self._send(value)

    def _send(self, value: Answer) -> None:
        assert self.question is not None  # noqa: S101 - the callers ask first
        self.answered.append((self.question, value))
        try:
            self._pose(self._steps.send(value))
        except StopIteration as end:
            self.question, self.draft = None, end.value

    def _pose(self, question: Question) -> None:
        offers = (
            (self._former.get(question.key), "your answer before"),
            (_text_at(self._present, question.where), "as it stands"),
        )
        for offered, origin in offers:
            if offered is not None and question.key not in self._known and _fits(question, offered):
                question = replace(question, default=offered, origin=origin)
                break
        self.question = question


def _fits(question: Question, text: str) -> bool:
    try:
        return understood(question, text) is not None
    except Slip:
        return False


def _text_at(content: Any, path: Path) -> str | None:
    for step in path:
        if isinstance(content, list) and isinstance(step, int):
            content = content[step] if step < len(content) else None
        else:
            content = content.get(step) if isinstance(content, Mapping) else None
    if isinstance(content, list) and content and all(isinstance(each, str) for each in content):
        return ", ".join(content)
    return content if isinstance(content, str) else None


def understood(question: Question, text: str) -> Answer:
    """`text` as an answer to `question`.

    Raises
    ------
    Slip
        It will not do.
    """
    typed = text.strip()
    if typed.lower() in NOT_KNOWN:
        if question.unknown is not None:
            return None
        if question.default is None:
            raise Slip("this has to be known: nothing safe can be taken for it")
        raise Slip(f"this has to be known; Enter takes {question.default}, if that is so")
    if not typed:
        if question.default is None:
            raise Slip("an answer is wanted here" + ("" if question.unknown is None else ", or: don't know"))
        typed = question.default
    return question.read(typed)


def quantity(kind: str) -> Callable[[str], str]:
    """Reader of a quantity of the model's type `kind`; the text stays as typed."""

    def read(text: str) -> str:
        _validate(kind, text)
        return text

    return read


def metres(kind: str, text: str) -> float:
    """A length that the model's type `kind` allows [m].

    Raises
    ------
    Slip
        It is none.
    """
    value = _validate(kind, text)
    assert isinstance(value, float)  # noqa: S101 - only lengths are asked for
    return value


def name(text: str) -> str:
    """Reader of a name of the user's own."""
    if len(text) > _LONGEST_NAME:
        raise Slip(f"longer than {_LONGEST_NAME} characters; a short name will do")
    if not text.isprintable() or text == "<<":
        raise Slip("letters, digits and ordinary signs only, please")
    _validate("Name", text)
    return text


def new_name(taken: Sequence[str]) -> Callable[[str], str]:
    """Reader of a name that is not among `taken`."""

    def read(text: str) -> str:
        if name(text) in taken:
            raise Slip(f"{text!r} is taken already")
        if _is_length(text):
            raise Slip(f"{text!r} is a measure; a name is wanted here, measures are asked for next")
        return text

    return read


def _is_length(text: str) -> bool:
    try:
        parse_quantity(text, "length")
    except QuantityError:
        return False
    return True


def choice(choices: Sequence[str]) -> Callable[[str], str]:
    """Reader of one of `choices`: the word, its number in the list, or a beginning that fits only one."""

    def read(text: str) -> str:
        if text in choices:
            return text
        if (number := whole_number(text, 1, len(choices))) is not None:
            return choices[number - 1]
        plain = text.casefold()
        found = [each for each in choices if each.casefold() == plain] or [
            each for each in choices if each.casefold().startswith(plain)
        ]
        if len(found) == 1:
            return found[0]
        if found:
            raise Slip(f"{text[:40]!r} may be {', '.join(found[:6])}; write it out, or give its number")
        raise Slip(_no_such(text, choices))

    return read


def count(least: int, most: int) -> Callable[[str], str]:
    """Reader of a whole number from `least` to `most`."""

    def read(text: str) -> str:
        number = whole_number(text, least, most)
        if number is None:
            raise Slip(f"a whole number from {least} to {most} is wanted here")
        return str(number)

    return read


def whole_number(text: str, least: int, most: int) -> int | None:
    """`text` as a whole number from `least` to `most`, None if it is none."""
    if not (text.isascii() and text.isdigit() and len(text) <= _MOST_DIGITS):
        return None
    return int(text) if least <= int(text) <= most else None


def _no_such(text: str, choices: Sequence[str]) -> str:
    from anchorcalc.reading.reader import nearest

    near = nearest(text, choices)
    holding = [each for each in choices if text.casefold() in each.casefold()]
    meant = list(dict.fromkeys([*holding, *([near] if near else [])]))[:_MOST_MEANT]
    if not meant:
        return f"{text[:40]!r} is not in the list; ? shows it"
    *others, last = map(repr, meant)
    return f"{text[:40]!r} is not in the list; did you mean {', '.join(others)}{' or ' if others else ''}{last}?"


@cache
def _adapter(kind: str) -> TypeAdapter[Any]:
    return TypeAdapter(getattr(model, kind))


def _validate(kind: str, text: str) -> Any:
    return validated(_adapter(kind), text)


def validated(adapter: TypeAdapter[Any], text: str) -> Any:
    """`text` as what `adapter` reads.

    Raises
    ------
    Slip
        It will not do.
    """
    try:
        return adapter.validate_python(text)
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        reason = first.get("ctx", {}).get("error", first["msg"])
        raise Slip(str(reason)) from None
