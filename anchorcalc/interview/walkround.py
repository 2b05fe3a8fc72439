"""The guided entry in the order one walks round the trailer with a tape measure.

Places are asked the way they are measured, from the edges of the deck and from the rings, and turned into
coordinates here. What has no answer is left out, so that the result lists what was assumed for it; where the
file needs a value, the weakest is written, with a note beside it.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Final, get_args

from anchorcalc.catalog.rules import LoadKind
from anchorcalc.interview.asking import Asker
from anchorcalc.interview.deck_questions import DeckQuestions
from anchorcalc.interview.front_share import SHARES, SHARES_IN_WORDS, settle
from anchorcalc.interview.guided import Draft, Slip, Steps, metres, name, quantity
from anchorcalc.interview.mounting_questions import MountingQuestions
from anchorcalc.interview.strap_questions import StrapQuestions
from anchorcalc.reading.document import Plain
from anchorcalc.reading.faults import Path
from anchorcalc.units import QuantityError, parse_quantity

if TYPE_CHECKING:
    from anchorcalc.catalog.tables import Catalog

_HALF_OF_HEIGHT: Final = 0.5
_SLACK: Final = 1e-6  # what a sum of lengths may be off [m]
_TITLE: Final = "my trailer"
_KINDS: Final = (
    "It only decides which counts of the rules apply and which weight is usual for it.\n"
    "car, light truck, van: what is licensed for the road; tractor: draws or drives implements; mower: ride-on or "
    "zero-turn; utility cart: small open vehicle with a bed, side-by-sides too; machine: has tracks or an arm."
)


def walk_round(catalog: Catalog) -> Steps[Draft]:
    """All questions for one scenario; ends with its draft."""
    draft = Draft()
    start = _Start(catalog, draft)
    yield from start.start()
    deck = DeckQuestions(catalog, draft)
    yield from deck.trailer()
    yield from deck.deck()
    yield from deck.under_the_deck()
    yield from MountingQuestions(catalog, draft).mountings()
    yield from _LoadQuestions(catalog, draft).load()
    yield from StrapQuestions(catalog, draft).straps()
    settle(draft, catalog)
    for last in ("trailer", "assumed"):  # the least of it, so it comes last in the file
        if last in draft.content:
            draft.content[last] = draft.content.pop(last)
    return draft


class _Start(Asker):
    """Title, rules and units."""

    section = "To begin with"

    def start(self) -> Steps[None]:
        title = yield from self.need(
            ("title",), "What shall this scenario be called?", name, example="Roadster in the small trailer",
            default=_TITLE, origin="a title of your own finds it again; such as Roadster in the small trailer",
        )  # fmt: skip
        self.put(("title",), title)
        rules = yield from self.pick(
            ("rules",), "Which rules shall it be checked by?", list(self.catalog.rule_sets),
            default="us-road", origin="49 CFR part 393, a yardstick for private trailers",
            help="\n".join(f"{row.name}: {row.title}" for row in self.catalog.rule_sets.values()),
        )  # fmt: skip
        self.put(("rules",), rules)
        units = yield from self.pick(
            ("units",), "Units for the results: us (in, lbf) or si (mm, kN)?", ("us", "si"),
            default="us" if rules == "us-road" else "si", origin=f"goes with {rules}",
            help="us: inches and pounds; si: millimetres and kilonewtons. It decides only how results are shown;\n"
            "you may answer in any unit: write it behind the number.",
        )  # fmt: skip
        self.put(("units",), units)


class _LoadQuestions(Asker):
    """The vehicle, as it stands on the deck."""

    section = "The load"

    def load(self) -> Steps[None]:
        self.put(
            ("load", "name"),
            (yield from self.need(("load", "name"), "What is carried?", name, example="roadster")),
        )
        kind = yield from self.choose(
            ("load", "kind"), "What kind of vehicle is it?", get_args(LoadKind),
            unknown="its weight is not compared with what is usual, and it counts as a general load", help=_KINDS,
        )  # fmt: skip
        self.put(("load", "kind"), kind)
        weight = yield from self.need(
            ("load", "weight"), "Its weight, with all that is in it?", quantity("Weight"), example="1650 lb"
        )
        self.put(("load", "weight"), weight)
        length = yield from self.ask(
            ("load", "length"), "Its length overall?", quantity("Extent"), example="12 ft",
            unknown="the reach of its wheels and tie points is taken",
        )  # fmt: skip
        yield from self._wheels_and_centre()
        self.put(("load", "length"), length)

    def _wheels_and_centre(self) -> Steps[None]:
        wheels: Path = ("load", "wheels")
        long, wide = (metres("Extent", self.got("deck", side)) for side in ("length", "width"))

        def on_deck(kind: str, least: float, most: float) -> Callable[[str], str]:
            return lambda text: self._within(text, kind, least, most)

        rear = yield from self.length(
            "rear wheels", wheels, "From the deck's rear edge forward to where the rear tyres touch the deck?",
            "Place", on_deck("Place", 0.0, long), example="51 in",
        )  # fmt: skip
        base = yield from self.length(
            "wheelbase", wheels, "From there forward to where the front tyres touch?",
            "Extent", on_deck("Extent", 0.0, long - rear), example="90 in",
        )  # fmt: skip
        front_track = yield from self.length(
            "front track", wheels, "Front tyres, left to right, middle to middle?",
            "Extent", on_deck("Extent", 0.0, wide), example="52 in",
        )  # fmt: skip
        rear_track = yield from self.length(
            "rear track", wheels, "Rear tyres, left to right, middle to middle?",
            "Extent", on_deck("Extent", 0.0, wide), default=self.place(front_track), origin="as in front",
        )  # fmt: skip
        beside = (wide - max(front_track, rear_track)) / 2
        offset = yield from self.length(
            "offset", wheels, "How far to the left of the deck's middle does it stand (minus: to the right)?",
            "Place", on_deck("Place", -beside, beside), default="0 in", origin="loaded in the middle",
        )  # fmt: skip
        yield from self._centre(rear, base, offset)
        self.put(wheels, {
            "front left": [self.place(rear + base), self.place(offset + front_track / 2)],
            "front right": [self.place(rear + base), self.place(offset - front_track / 2)],
            "rear left": [self.place(rear), self.place(offset + rear_track / 2)],
            "rear right": [self.place(rear), self.place(offset - rear_track / 2)],
        })  # fmt: skip

    def _within(self, text: str, kind: str, least: float, most: float) -> str:
        """`text`, if the wheels that it places stand on the deck."""
        if not least - _SLACK <= metres(kind, text) <= most + _SLACK:
            room = f"from {self.place(least)} to {self.place(most)}"
            raise Slip(f"{text!r} puts a wheel beyond the deck; {room} they stand on it")
        return text

    def _centre(self, rear: float, base: float, offset: float) -> Steps[None]:
        where: Path = ("load", "centre_of_gravity")
        weight = parse_quantity(self.got("load", "weight"), "weight")
        share = yield from self.ask(
            where, "How much of its weight stands on the front wheels, in per cent or as a weight?",
            lambda text: _share_text(text, weight), "front share", example="45 %, or 740 lb",
            unknown=f"the worst of {SHARES_IN_WORDS} is written; weigh one axle to know",
            help="a public scale: drive only the front wheels onto it",
        )  # fmt: skip
        height = yield from self._centre_height(where)
        shares = [_share(share, weight)] if share is not None else [percent / 100 for percent in SHARES]
        centres: list[Plain] = [[self.place(rear + base * each), self.place(offset), height] for each in shares]
        if share is None:
            self.draft.front_shares = dict(zip(SHARES, centres, strict=True))
        self.put(where, centres[len(centres) // 2])  # until all answers are there
        self.note(
            where,
            "Along the trailer from the weight on the front wheels; across: the middle between the wheels.",
        )

    def _centre_height(self, where: Path) -> Steps[str]:
        height = yield from self.ask(
            where, "Height of its centre of gravity above the deck?", quantity("Height"), "centre height",
            example="18 in", unknown="half of its overall height is written, higher than it lies in most vehicles",
        )  # fmt: skip
        if height is not None:
            return height
        overall = yield from self.length(
            "overall height", where, "Its overall height, then?", "Height", example="48 in"
        )
        half = self.place(overall * _HALF_OF_HEIGHT)
        self.assume("height of the centre of gravity", f"{half}, half of the load's overall height")
        return half


def _share_text(text: str, weight: float) -> str:
    _share(text, weight)
    return text


def _share(text: str, weight: float) -> float:
    """Share of `weight` [N] that `text` says, in per cent or as a weight.

    Raises
    ------
    Slip
        Neither, or not between nothing and all of it.
    """
    number = text.removesuffix("%").strip()
    try:
        share = (
            float(number) / 100 if text.endswith("%") and "_" not in number else parse_quantity(text, "weight") / weight
        )
    except QuantityError as error:
        raise Slip(f"{error}, or per cent: 45 %") from None
    except ValueError:
        share = float("nan")
    if not 0.0 <= share <= 1.0:
        raise Slip(f"{text[:40]!r} is not between nothing and all of its weight")
    return share
