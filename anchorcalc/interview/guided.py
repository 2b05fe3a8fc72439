"""Asking for a scenario: the questions as a table, and what each answer is, typed or taken for want of one.

Nothing is printed or read here. `Interview.answers` is all that is kept of a dialogue: what was typed by the key of
its question, empty where Enter took the default, None where it is not known.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cache
from itertools import chain
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import yaml
from msgspec import Struct
from msgspec.structs import replace

from anchorcalc.catalog.rows import UnknownName
from anchorcalc.interview import answers as read
from anchorcalc.interview.answers import NOT_KNOWN, Slip, Units, metres, place
from anchorcalc.scenario.impossible import FARTHEST
from anchorcalc.units import parse_quantity

if TYPE_CHECKING:
    from anchorcalc.catalog.rows import Screw
    from anchorcalc.catalog.tables import Catalog

_APART: Final = re.compile(r"\s*(?:,(?!(?<=\d,)\d)|;|\band\b)\s*")
"""What parts several answers; a comma between digits may be a decimal one, which is refused."""
_SLACK: Final = 1e-6  # one length in two units [m]
_WORDS: Final = frozenset({"choice", "name", "mark", "push", "share", "joints", "number", "Weight", "Tension", "Turn"})
"""Kinds whose defaults are not lengths."""
_READERS: Final[dict[str, Callable[[str, Units], str]]] = {"mark": read.mark, "push": read.push, "joints": read.joints}


class Row(Struct, frozen=True):
    """A question: as the table `questions.yaml` has it, which says what each field means, or as it is asked."""

    key: str
    section: str
    text: str
    kind: str = ""
    ask: bool = False
    choices: str | Sequence[str] = ()
    labels: Sequence[str] = ()
    """What is said of each choice."""
    default: str = ""
    mark: str = "guess"
    unknown: str = ""
    safe: str = ""
    most: str = ""
    usual: str = ""
    when: Mapping[str, str | Sequence[str]] = {}
    where: str = ""
    words: Mapping[str, str] = {}
    help: str = ""
    parts: Sequence[str] = ()
    decides: str = ""


@cache
def table() -> tuple[Row, ...]:
    """All questions, in the order of the list of answers."""
    sections = yaml.safe_load(Path(__file__).with_name("questions.yaml").read_bytes())
    return tuple(Row(section=each["section"], **row) for each in sections for row in each["questions"])


class Interview:
    """What is known so far, and what is asked next."""

    def __init__(self, catalog: Catalog, kept: Mapping[str, str | None] | None = None) -> None:
        self.catalog = catalog
        known = {row.key for row in table()}
        self.answers = {key: answer for key, answer in (kept or {}).items() if key in known}
        self._drop_what_does_not_fit()

    @property
    def units(self) -> Units:
        """What a number without its unit is in."""
        return "si" if self.answers.get("units") == "si" else "us"

    def rows(self) -> list[Row]:
        """The questions that these answers leave, each by itself."""
        return [row for row in table() if not row.parts and self._applies(row)]

    def named(self, words: str) -> Row | None:
        """The question of that name, if these answers leave it."""
        return next((row for row in self.rows() if row.key == words), None)

    def next(self) -> Row | None:
        """The question to ask now; None when all that has to be asked is answered."""
        for row in table():
            parts = self.parts(row)
            if len(parts) > 1 and not any(part.key in self.answers for part in parts):
                return row
            by_itself = not row.parts and self._applies(row)
            if by_itself and row.key not in self.answers and self._has_to_be_asked(row):
                return row
        return None

    def parts(self, row: Row) -> list[Row]:
        """The questions that `row` asks in one; none where it is one itself."""
        return [part for part in map(_row, row.parts) if self._applies(part)]

    def question(self, row: Row) -> Row:
        """`row` as it is asked."""
        if row.parts:
            return self._joined(row)
        choices, labels = self._choices(row)
        former = self.answers.get(row.key, "")
        default = "don't know" if former is None else former or self.default(row) or ""
        origin = (
            {"guess": "a guess", "usual": "as is usual"}.get(row.mark, "") if former == "" else "your answer before"
        )
        text = re.sub(r"\{(.*?)\}", lambda found: self._named(found[1]) or "...", row.text)
        return replace(row, text=text, choices=choices, labels=labels, default=default, mark=origin)

    def _joined(self, row: Row) -> Row:
        """Several questions as one."""
        parts = [self.question(part) for part in self.parts(row)]
        text = re.sub(r"\{(.*?)\}", lambda found: self._named(found[1]) or "...", row.text)
        defaults = [part.default for part in parts]
        told = [
            f"{part.key}: {'; '.join(filter(None, [part.help, ', '.join(part.choices)]))}"
            for part in parts
            if part.help or part.choices
        ]
        unknown = [part for part in parts if part.unknown]
        if unknown and len(unknown) < len(parts):
            text += f" (don't know will do for {' and '.join(part.key for part in unknown)})"
        return replace(
            row,
            text=text,
            default=", ".join(defaults) if all(defaults) else "",
            mark="a guess",
            unknown="; ".join(part.unknown for part in unknown) if len(unknown) == len(parts) else "",
            help="\n".join([*told, f"{len(parts)} answers, apart by commas; don't know will do for each that may be."]),
        )

    def _take_all(self, row: Row, typed: str) -> str:
        """Take the answers to several questions, or none of them."""
        parts, before, text = self.parts(row), dict(self.answers), typed.strip()
        given = _APART.split(text)
        if not text or text.lower() in NOT_KNOWN:  # what has to be known is taken as it is offered
            given = [text if part.unknown else "" for part in parts]
        try:
            if len(given) != len(parts):
                names = ", ".join(part.key for part in parts)
                raise Slip(f"{len(parts)} answers are wanted here, apart by commas: {names}")
            return ", ".join(self._take_of_several(*each) or "not known" for each in zip(parts, given, strict=True))
        except Slip:
            self.answers = before
            raise

    def _take_of_several(self, part: Row, typed: str) -> str | None:
        try:
            return self.take(part, typed)
        except Slip as slip:
            raise Slip(f"{part.key}: {slip}") from slip

    def take(self, row: Row, typed: str) -> str | None:
        """Take what was `typed` as the answer to `row`, and tell what was understood, None for not known; or `Slip`."""
        if row.parts:
            return self._take_all(row, typed)
        text = typed.strip()
        if not text and self.answers.get(row.key, "") != "":
            return self.answers[row.key]
        answer = None if text.lower() in NOT_KNOWN else text
        understood = self._fitting(row, answer)
        self.answers[row.key] = understood if text else ""
        self._drop_what_does_not_fit()
        return understood

    def back(self) -> None:
        """Forget the answer before; at the first question nothing changes."""
        if self.answers:
            last, _ = self.answers.popitem()
            for key in chain.from_iterable(row.parts for row in table() if last in row.parts):
                self.answers.pop(key, None)

    def value(self, key: str) -> str | None:
        """What stands for the answer to `key`; None if nothing is to be written for it."""
        row = _row(key)
        answer = self.answers.get(key, "")
        if answer:
            return answer
        taken = self.default(row) if answer == "" else None
        return taken if taken or not row.safe else _WORKED_OUT[row.safe](self)

    def length(self, key: str) -> float:
        """The answer to `key` [m]."""
        return metres(self.value(key) or "0 in")

    def default(self, row: Row) -> str | None:
        """What Enter takes; None if there is nothing."""
        text = row.default
        for part in ("trailer", "load"):
            if (picked := self.answers.get(part)) in self.catalog.typical and row.key != part:
                text = self.catalog.typical[str(picked)].answers.get(row.key, text)
        if text.startswith("="):
            text = self._named(text[1:]) or ""
        try:
            text = self._read(row, text) if text else ""
        except Slip:  # in a table of the user's own
            return None
        if not text or row.kind in _WORDS:
            return text or None
        metric = text.split()[-1] not in ("in", "ft")
        return text if metric == (self.units == "si") else place(metres(text), self.units)

    def known_as(self, row: Row) -> str:
        """How the answer to `row` is known: measured, guess, usual, not known; nothing for names."""
        answer = self.answers.get(row.key, "")
        if answer:
            by_word = row.kind != "choice" and answer in row.words.values()
            return "" if not row.mark else "guess" if by_word else "measured"
        return row.mark if answer == "" and self.default(row) else "not known" if row.unknown else row.mark

    def lines(self) -> Iterator[tuple[Row, str]]:
        """Every answer in words."""
        for row in self.rows():
            value, known = self.value(row.key), self.known_as(row)
            if known == "not known":
                yield row, f"not known; {row.unknown}" + (f": {value}" if value else "")
            else:
                yield row, f"{value}" + (f" ({known})" if known else "")

    def _named(self, name: str) -> str | None:
        """What is worked out under this name, or the answer to the question of this key."""
        return _WORKED_OUT[name](self) if name in _WORKED_OUT else self.value(name)

    def _applies(self, row: Row) -> bool:
        """Whether other answers are among those that `row` is asked after, or hold the word (or do not)."""
        others = ((self._named(key) or "", wanted) for key, wanted in row.when.items())
        return all(
            (wanted.removeprefix("not ") in each) != wanted.startswith("not ")
            if isinstance(wanted, str)
            else each in wanted
            for each, wanted in others
        )

    def _has_to_be_asked(self, row: Row) -> bool:
        return row.ask or (not row.unknown and self.default(row) is None)

    def _choices(self, row: Row) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """The choices, and what is said of each."""
        if not isinstance(row.choices, str):
            return tuple(row.choices), ()
        found = _WORKED_OUT[row.choices](self) if row.choices in _WORKED_OUT else getattr(self.catalog, row.choices)
        if not isinstance(found, dict):
            return tuple(found), ()
        said = [getattr(each, "label", getattr(each, "title", getattr(each, "advice", ""))) for each in found.values()]
        return tuple(found), tuple(said) if any(said) else ()

    def _read(self, row: Row, text: str) -> str:
        """`text` as that kind of answer."""
        if row.kind == "choice":
            return read.choice(text, self._choices(row)[0], row.words)
        if row.kind == "name":
            return read.name(text)
        if row.kind == "share":
            return read.share(text, self.value("weight") or "")
        text = row.words.get(text.casefold(), text)
        if row.kind == "number":
            return read.plain_number(text)
        reader = _READERS.get(row.kind)
        return reader(text, self.units) if reader else read.quantity(text, row.kind, self.units)

    def _drop_what_does_not_fit(self) -> None:
        """Forget answers that others have left no room for; they are asked again."""
        for row in self.rows():
            try:
                if row.key in self.answers:
                    self._fitting(row, self.answers[row.key])
            except Slip:
                del self.answers[row.key]

    def _fitting(self, row: Row, answer: str | None) -> str | None:
        """What `answer` means, if the other answers leave room for it; None is not known."""
        if answer is None:
            if not row.unknown:
                raise Slip("this has to be known: nothing safe can be taken for it")
            return None
        text = answer or self.default(row)
        if text is None:
            raise Slip("an answer is wanted here" + (", or: don't know" if row.unknown else ""))
        understood = self._read(row, text)
        self._keep_within(row, understood)
        return understood

    def _keep_within(self, row: Row, text: str) -> None:
        """Refuse what other answers or the tables leave no room for."""
        try:
            if row.key == "deck thickness":
                self.catalog.panel(self.value("panel") or "").section(metres(text))
            if row.key in ("strap width", "chain size"):
                self.catalog.strap(self.value("strap kind") or "", metres(text), None)
        except UnknownName as error:
            raise Slip(str(error)) from None
        if row.key == "condition" and not self.catalog.condition(text).carries:
            advice = self.catalog.condition(text).advice
            raise Slip(f"a deck that is {text} carries nothing: {advice}, or count one layer less")
        if row.key == "member condition" and not self.catalog.condition(text).carries:
            raise Slip(f"wood that is {text} carries nothing: {self.catalog.condition(text).advice}")
        if row.key == "hat face" and text == "brims":
            raise Slip("a deck on the brims of hats is not reckoned yet")
        if row.key == "beams" and len(set(text.split(", "))) < 2:
            raise Slip("they rest on two beams at least, apart by commas")
        if row.key == "fastening" and "bridge" in text and self._no_bars():
            raise Slip("bridge bars under such cross-members are not reckoned yet: choose another way")
        if row.key in ("fastening", "ring bases"):
            said = {key: self.value(key) or "" for key in ("fastening", "ring bases")} | {row.key: text}
            if "welded" in said["fastening"] and said["ring bases"] != "own":
                raise Slip("strips that are welded on are not reckoned yet: rings on a strip need bolts or screws")
        if row.usual:
            usual = self.catalog.usual_ranges[row.usual]
            (least, most), value = usual.limits(), parse_quantity(text, usual.dimension)
            if not least / FARTHEST <= value <= most * FARTHEST:
                raise Slip(f"{text!r} cannot be: usual is {usual.least} to {usual.most}; is that in another unit?")
        if row.most:
            most = self.length(row.most)
            least = -most if "minus" in row.text else 0.0
            for each in text.split(", ") if text != "none" else ():
                if not least - _SLACK <= metres(each) <= most + _SLACK:
                    room = f"{place(least, self.units)} to {self.value(row.most)}"
                    raise Slip(f"{each!r} is beyond the {row.most}: {room} is within")

    def _no_bars(self) -> bool:
        return self.value("member material") == "wood" or self.value("members run") == "lengthwise"


@cache
def _row(key: str) -> Row:
    return next(row for row in table() if row.key == key)


# --- words of the table that are worked out -------------------------------------------------------------------


def _fastener_rows(asked: Interview) -> dict[str, Any]:
    kind, catalog = (asked.value("fastening") or "").removesuffix("s"), asked.catalog
    return {row.size: row for row in catalog.screws.values() if row.kind == kind} or dict(catalog.threads)


def _hold_down_screws(asked: Interview) -> list[Screw]:
    in_wood = asked.value("member material") == "wood"
    return asked.catalog.screws_for_wood if in_wood else asked.catalog.hold_down_screws


def _bolt_grades(asked: Interview) -> list[str]:
    thread, grades = asked.catalog.thread(asked.value("fastener size") or ""), asked.catalog.bolt_grades.values()
    return [row.name for row in grades if row.series == thread.series and row.up_to >= thread.D]


def _least_washer(asked: Interview, side: str) -> str:
    rows = [row for row in asked.catalog.washers.values() if row.bolt == asked.value("fastener size")]
    return place(min(getattr(row, side) for row in rows or asked.catalog.washers.values()), asked.units)


def _in_the_middle(asked: Interview) -> str | None:
    behind = (asked.length("deck length") - asked.length("wheelbase")) / 2
    return place(behind, asked.units) if behind >= 0 else None


def _thinnest_panel(asked: Interview) -> str:
    return place(min(each.thickness for each in asked.catalog.panel(asked.value("panel") or "").sections), asked.units)


def _over_the_members(asked: Interview) -> str | None:
    """Which way planks run: over the members, for between them they would lie on nothing."""
    if "planks" not in (asked.value("panel") or ""):
        return None
    return "across" if asked.value("members run") == "lengthwise" else "along"


def _beyond_the_rails(asked: Interview) -> str:
    """What the members are of where the deck is known to reach beyond the rails that they lie across."""
    rails = asked.value("rails") if asked.value("members run") == "across" else None
    beyond = rails is not None and metres(rails) < asked.length("deck width") - _SLACK
    return f"of {asked.value('member material')}" if beyond else ""


def _inside_the_base(asked: Interview) -> str:
    """How far apart holes stand whose distance from the edges is right also in a plate no larger than the base."""
    base, size = asked.length("base length"), _fastener_rows(asked).get(asked.value("fastener size") or "")
    from_edges = 2 * asked.catalog.fitting_factor("edge_of_steel") * (size.D if size else 0.0)
    return place(max(min(0.75 * base, base - from_edges), base / 2), asked.units)


def _side_of_base(asked: Interview, way: str, own: str) -> str | None:
    """Side of what lies on the deck under a ring: of its `own`, or of a strip, which is long the one `way`."""
    if asked.value("ring bases") == "own":
        return asked.value(own)
    return asked.value("strip length" if asked.value("ring bases") == way else "strip width")


_WORKED_OUT: Final[dict[str, Callable[[Interview], Any]]] = {
    "typical trailer": lambda asked: {row.name: row for row in asked.catalog.typical.values() if row.part == "trailer"},
    "typical load": lambda asked: {row.name: row for row in asked.catalog.typical.values() if row.part == "load"},
    "middle": lambda asked: place(asked.length("deck width") / 2, asked.units),
    "hold-down screws": lambda asked: [row.name for row in _hold_down_screws(asked)],
    "fastener sizes": _fastener_rows,
    "bolt grades": _bolt_grades,
    "layer numbers": lambda asked: [str(number + 1) for number in range(int(asked.value("layers") or 1))],
    "strap grades": lambda asked: list(
        dict.fromkeys(row.grade for row in asked.catalog.straps.values() if row.kind == asked.value("strap kind"))
    ),
    "rules": lambda asked: "us-road" if asked.units == "us" else "eu-road",
    "inside the base": _inside_the_base,
    "smallest washer": lambda asked: _least_washer(asked, "outside"),
    "in the middle": _in_the_middle,
    "over the members": _over_the_members,
    "deck beyond the rails": _beyond_the_rails,
    "chocks": lambda asked: "yes" if asked.value("stops ahead") or asked.value("stops behind") else "no",
    "base along": lambda asked: _side_of_base(asked, "lengthwise", "base length"),
    "plate across": lambda asked: _side_of_base(asked, "across", "plate length"),
    "welded": lambda asked: "welded",
    "one": lambda asked: "1",
    "between the tyres": lambda asked: place(asked.length("rear tyres") + asked.length("wheelbase") / 2, asked.units),
    "strap width": lambda asked: "2 in" if asked.answers.get("strap mark") else "1 in",
    "thinnest panel": _thinnest_panel,
    "weakest metal": lambda asked: min(asked.catalog.steels.values(), key=lambda row: (row.F_y, row.F_u)).name,
    "smallest hold-down screw": lambda asked: min(_hold_down_screws(asked), key=lambda row: row.D).name,
    "weakest wood": lambda asked: min(asked.catalog.timber.values(), key=lambda row: (row.F_b, row.G)).name,
    "smallest fastener": lambda asked: min(_fastener_rows(asked).items(), key=lambda each: each[1].D)[0],
    "thinnest washer": lambda asked: _least_washer(asked, "thickness_least"),
}
