"""The guided entry in the order one walks round the trailer with a tape measure.

Places are asked the way they are measured, from the edges of the deck and from the rings, and turned into
coordinates here. What has no answer is left out, so that the result lists what was assumed for it; where the
file needs a value, the weakest is written, with a note beside it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final, get_args

from anchorcalc.scenario.deck_questions import DeckQuestions
from anchorcalc.scenario.document import Plain
from anchorcalc.scenario.faults import Path
from anchorcalc.scenario.guided import Answer, Draft, Slip, Steps, metres, name, new_name, quantity
from anchorcalc.scenario.model import LoadKind
from anchorcalc.units import QuantityError, parse_quantity

if TYPE_CHECKING:
    from anchorcalc.catalog import Catalog

_CORNERS: Final = ("front left", "front right", "rear left", "rear right")
_HALF_OF_HEIGHT: Final = 0.5
_BETWEEN_AXLES: Final = "50 %"


def walk_round(catalog: Catalog) -> Steps[Draft]:
    """All questions for one scenario; ends with its draft."""
    draft = Draft()
    start = _Start(catalog, draft)
    yield from start.start()
    deck = DeckQuestions(catalog, draft)
    yield from deck.trailer()
    yield from deck.deck()
    yield from deck.under_the_deck()
    yield from deck.mountings()
    yield from _LoadQuestions(catalog, draft).load()
    yield from _StrapQuestions(catalog, draft).straps()
    for last in ("trailer", "assumed"):  # the least of it, so it comes last in the file
        if last in draft.content:
            draft.content[last] = draft.content.pop(last)
    return draft


class _Start(DeckQuestions):
    """Title, rules and units."""

    section = "To begin with"

    def start(self) -> Steps[None]:
        title = yield from self.need(
            ("title",), "What shall this scenario be called?", name, example="Roadster in the small trailer"
        )
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
            help="you may answer in any unit; write it behind the number",
        )  # fmt: skip
        self.put(("units",), units)


class _LoadQuestions(DeckQuestions):
    """The vehicle, as it stands on the deck."""

    section = "The load"

    def load(self) -> Steps[None]:
        self.put(
            ("load", "name"),
            (yield from self.need(("load", "name"), "What is carried?", name, example="roadster")),
        )
        kind = yield from self.choose(
            ("load", "kind"), "What kind of vehicle is it?", get_args(LoadKind),
            unknown="its weight is not compared with what is usual, and it counts as a general load",
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
        rear = yield from self.length(
            "rear wheels", wheels, "From the deck's rear edge forward to where the rear tyres touch the deck?",
            "Height", example="51 in",
        )  # fmt: skip
        base = yield from self.length(
            "wheelbase",
            wheels,
            "From there forward to where the front tyres touch?",
            "Extent",
            example="90 in",
        )
        front_track = yield from self.length(
            "front track", wheels, "Front tyres, left to right, middle to middle?", "Extent", example="52 in"
        )
        same = f"{self.place(front_track)}"
        rear_track = yield from self.length(
            "rear track",
            wheels,
            "Rear tyres, left to right, middle to middle?",
            "Extent",
            default=same,
            origin="as in front",
        )
        offset = yield from self.length(
            "offset", wheels, "How far to the left of the deck's middle does it stand (minus: to the right)?",
            default="0 in", origin="loaded in the middle",
        )  # fmt: skip
        yield from self._centre(rear, base, offset)
        self.put(wheels, {
            "front left": [self.place(rear + base), self.place(offset + front_track / 2)],
            "front right": [self.place(rear + base), self.place(offset - front_track / 2)],
            "rear left": [self.place(rear), self.place(offset + rear_track / 2)],
            "rear right": [self.place(rear), self.place(offset - rear_track / 2)],
        })  # fmt: skip

    def _centre(self, rear: float, base: float, offset: float) -> Steps[None]:
        where: Path = ("load", "centre_of_gravity")
        weight = parse_quantity(self.got("load", "weight"), "weight")
        share = yield from self.ask(
            where, "How much of its weight stands on the front wheels, in per cent or as a weight?",
            lambda text: _share_text(text, weight), "front share", example="45 %, or 740 lb",
            unknown="half is taken: weigh one axle to know",
            help="a public scale: drive only the front wheels onto it",
        )  # fmt: skip
        height = yield from self._centre_height(where)
        if share is None:
            self.assume("weight on the front wheels", "half of the load's weight")
        x = rear + base * _share(share or _BETWEEN_AXLES, weight)
        self.put(where, [self.place(x), self.place(offset), height])
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


@dataclass
class _Corner:
    """What was said of one strap's places [m] and ratings."""

    x: float
    y: float
    tie: tuple[float, float, float]
    mounting: str
    tie_rating: dict[str, Plain]
    strap: dict[str, Plain]


class _StrapQuestions(DeckQuestions):
    """Straps, each with its anchor and its tie point."""

    def straps(self) -> Steps[None]:
        self.section = "The straps"
        usual = self.catalog.rule_set(self.got("rules")).light_vehicle.recommended
        number = yield from self.number(
            "straps", ("straps",), "How many straps, each from its own ring to the load?", 1, 16,
            default=str(usual), origin="what the rules recommend for a light vehicle",
        )  # fmt: skip
        alike = number == 1 or (
            yield from self.agree("alike", ("straps",), "Are the straps all alike?", "bought as a set")
        )
        common = (yield from self._strap(("straps",))) if alike else None
        corners: dict[str, _Corner] = {}
        for index in range(number):
            free = [each for each in _CORNERS if each not in corners]
            usual_name = free[0] if free else f"strap {index + 1}"
            self.section = f"Strap {index + 1} of {number}"
            named = yield from self.need(
                ("straps",), "Where is it?" if number <= len(_CORNERS) else "A name for it?", new_name(list(corners)),
                f"strap {index}", default=usual_name, origin="one goes round from the front left",
            )  # fmt: skip
            self.section = f"Strap {index + 1} of {number}: {named}"
            corners[named] = yield from self._corner(named, corners, common)
        self._write(corners)

    def _write(self, corners: dict[str, _Corner]) -> None:
        for named, corner in corners.items():
            tie: dict[str, Plain] = {"at": [self.place(part) for part in corner.tie], **corner.tie_rating}
            self.put(("load", "tie_points", named), tie)
            anchor: dict[str, Plain] = {
                "at": [self.place(corner.x), self.place(corner.y)],
                "mounting": corner.mounting,
            }
            self.put(("anchors", named), anchor)
        for named, corner in corners.items():
            self.put(("straps", named), {"anchor": named, "to": named, **corner.strap})

    def _strap(self, path: Path) -> Steps[dict[str, Plain]]:
        """What the label and the eye say of a strap."""
        kind = yield from self.pick(
            (*path, "kind"), "What kind of tie-down is it?", ("webbing", "chain", "wire rope", "rope"),
            default="webbing", origin="ratchet straps",
        )  # fmt: skip
        measure = "width" if kind == "webbing" else "size"
        size = yield from self.need(
            (*path, measure),
            f"Its {measure}?",
            self._known_size(kind),
            example="2 in" if kind == "webbing" else "3/8 in",
        )
        strap: dict[str, Plain] = {"kind": kind, measure: size}
        if kind in ("chain", "rope"):
            yield from self._strap_grade(path, kind, strap)
        strap |= yield from self.rating(path, "its label")
        tension = yield from self.ask(
            (*path, "hand_tension"), "Hand tension left by the ratchet or binder?", quantity("Tension"),
            example="150 lbf", unknown="the high end for its kind is taken",
        )  # fmt: skip
        if tension is not None:
            strap["hand_tension"] = tension
        route = yield from self.choose(
            (*path, "route"), "Does it go direct to a point on the load, or over it to the other side?",
            ("direct", "over"),
            unknown="direct is taken, which counts half in the sum of ratings",
        )  # fmt: skip
        if route is not None:
            strap["route"] = route
        return strap

    def _strap_grade(self, path: Path, kind: str, strap: dict[str, Plain]) -> Steps[None]:
        grades = list(dict.fromkeys(row.grade for row in self.catalog.straps.values() if row.kind == kind))
        grade: Answer = yield from self.choose(
            (*path, "grade"), "Its grade or fibre?", grades, unknown="the weakest is taken"
        )
        if grade is not None:
            strap["grade"] = grade

    def _known_size(self, kind: str) -> Any:
        def read(text: str) -> str:
            try:
                self.catalog.strap(kind, metres("SmallExtent", text), None)
            except LookupError as error:
                raise Slip(str(error)) from None
            return text

        return read

    # --- places ----------------------------------------------------------------------------------------

    def _corner(self, named: str, corners: dict[str, _Corner], common: dict[str, Plain] | None) -> Steps[_Corner]:
        opposite = _other_side(named)
        if opposite in corners and (
            yield from self.agree(
                f"{named} mirrored",
                ("anchors", named),
                f"Is it the mirror image of {opposite}, strap and all?",
                "symmetric",
            )
        ):
            like = corners[opposite]
            strap = like.strap if common is None else common
            x, y, z = like.tie
            return _Corner(like.x, -like.y, (x, -y, z), like.mounting, like.tie_rating, strap)
        mounting = yield from self._which_mounting(named)
        x, y = yield from self._ring_place(named, mounting)
        tie = yield from self._tie_point(named, (x, y), mounting)
        path: Path = ("load", "tie_points", named)
        rating = yield from self.rating(path, "the point on the load where it hooks in")
        strap = common if common is not None else (yield from self._strap(("straps", named)))
        return _Corner(x, y, tie, mounting, rating, strap)

    def _which_mounting(self, named: str) -> Steps[str]:
        mountings: list[str] = list(self.got("mountings"))
        if len(mountings) == 1:
            return mountings[0]
        return (
            yield from self.pick(
                ("anchors", named, "mounting"), "Which way is its ring fastened?", mountings,
                default=mountings[0], origin="the first described",
            )
        )  # fmt: skip

    def _ring_place(self, named: str, mounting: str) -> Steps[tuple[float, float]]:
        where: Path = ("anchors", named, "at")
        length, width = (metres("Extent", self.got("deck", key)) for key in ("length", "width"))
        half_long, half_wide = (
            metres("SmallExtent", text) / 2 for text in self.got("mountings", mounting, "ring", "base")
        )

        def on_deck(text: str, least: float, most: float) -> str:
            if not least - 1e-6 <= metres("Place", text) <= most + 1e-6:
                room = f"{self.place(least)} to {self.place(most)}"
                raise Slip(f"{text!r} puts the base of the ring beyond the deck; from {room} it lies on it")
            return text

        x = yield from self.need(
            where, "From the deck's rear edge forward to the middle of the ring?",
            lambda text: on_deck(text, half_long, length - half_long), f"{named} x", example="172 in",
        )  # fmt: skip
        words = named.lower().split()
        side = "left" if "left" in words else "right" if "right" in words else None
        if side is None:
            side = yield from self.pick(
                where, "On which side of the deck's middle?", ("left", "right"), key=f"{named} side"
            )
        edge = yield from self.need(
            where, f"From the {side} edge of the deck inward to the middle of the ring?",
            lambda text: on_deck(text, half_wide, width - half_wide), f"{named} y", example="6 in",
        )  # fmt: skip
        inward = width / 2 - metres("Place", edge)
        return metres("Place", x), inward if side == "left" else -inward

    def _tie_point(self, named: str, ring: tuple[float, float], mounting: str) -> Steps[tuple[float, float, float]]:
        where: Path = ("load", "tie_points", named, "at")
        centre = metres("Place", self.got("load", "centre_of_gravity")[0])
        ahead = ring[0] > centre
        along = yield from self.length(
            f"{named} along", where,
            f"Along: how far {'behind' if ahead else 'ahead of'} the ring does it hook in (minus: the other way)?",
            example="36 in",
        )  # fmt: skip
        across = yield from self.length(
            f"{named} across", where, "Across: how far toward the middle of the deck from the ring (minus: outward)?",
            example="18 in",
        )  # fmt: skip
        pull_height = metres("Height", self.got("mountings", mounting, "ring", "pull_height"))

        def above_ring(text: str) -> str:
            if metres("Height", text) <= pull_height:
                raise Slip(f"{text!r} is no higher than the ring ({self.place(pull_height)}): it would pull down")
            return text

        height = yield from self.need(where, "How high above the deck?", above_ring, f"{named} height", example="12 in")
        x = ring[0] - along if ahead else ring[0] + along
        y = ring[1] - across if ring[1] >= 0 else ring[1] + across
        return x, y, metres("Height", height)


def _other_side(named: str) -> str:
    swapped = {"left": "right", "right": "left"}
    return " ".join(swapped.get(word, word) for word in named.split())


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
