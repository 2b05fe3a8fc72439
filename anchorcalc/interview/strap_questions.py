"""Questions about the straps, each with its anchor and the point on the load where it hooks in."""

from __future__ import annotations

import copy
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from anchorcalc.interview.guided import Answer, Draft, Slip, Steps, metres, new_name, quantity
from anchorcalc.interview.mounting_questions import MountingQuestions
from anchorcalc.reading.document import Plain
from anchorcalc.reading.faults import Path

if TYPE_CHECKING:
    from collections.abc import Mapping

    from anchorcalc.catalog.tables import Catalog

_CORNERS: Final = ("front left", "front right", "rear left", "rear right")


def strap_anew(catalog: Catalog, content: Mapping[str, Plain], name: str) -> Steps[Draft]:
    """Questions about the strap `name` alone; ends with a copy of the scenario `content` that has it."""
    draft = Draft(copy.deepcopy(dict(content)))
    yield from StrapQuestions(catalog, draft).anew(name)
    return draft


@dataclass
class _Corner:
    """What was said of one strap's places [m] and ratings."""

    x: float
    y: float
    tie: tuple[float, float, float]
    mounting: str
    tie_rating: dict[str, Plain]
    strap: dict[str, Plain]


class StrapQuestions(MountingQuestions):
    """Straps, each with its anchor and its tie point."""

    def straps(self) -> Steps[None]:
        """All straps."""
        self.section = "The straps"
        usual = self.catalog.rule_set(self.got("rules")).light_vehicle.recommended
        number = yield from self.number(
            "straps", ("straps",), "How many straps, each from its own ring to the load?", 1, 16,
            default=str(usual), origin="what the rules recommend for a light vehicle",
        )  # fmt: skip
        alike = number == 1 or (
            yield from self.agree(
                "alike",
                ("straps",),
                "Are the straps all alike?",
                "bought as a set",
                unknown="each is described by itself",
            )
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

    def anew(self, name: str) -> Steps[None]:
        """The strap `name` itself once more; where it goes stays."""
        self.section = f"The strap {name}"
        strap = self.got("straps", name)
        ends: dict[str, Plain] = {end: strap[end] for end in ("anchor", "to")}
        self.put(("straps", name), {**ends, **(yield from self._strap(("straps", name)))})

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
            help="webbing: flat woven strap; wire rope: of steel; rope: of fibre",
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
            help="direct: hooked to the load; over: from an anchor over the load to one on the other side",
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
