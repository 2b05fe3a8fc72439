"""Questions about the trailer: its weights, the deck, and what is under it."""

from __future__ import annotations

import copy
from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING, Any, Final

from anchorcalc.catalog.rows import UnknownName
from anchorcalc.interview.asking import Asker
from anchorcalc.interview.guided import Answer, Draft, Slip, Steps, choice, metres, quantity
from anchorcalc.reading.document import Plain
from anchorcalc.reading.faults import Path

if TYPE_CHECKING:
    from collections.abc import Mapping

    from anchorcalc.catalog.tables import Catalog

_LENGTH_EXAMPLE: Final = "80 in, or 2 m"
_THIN_EXAMPLE: Final = "3/4 in, or 18 mm"
_SHEET: Final = 1.22  # the short side of a sheet, whichever way it lies [m]
_SIDE: Final = {"across": "length", "along": "width"}
_JOINTS: Final = {
    "across": "From the rear edge forward to each joint between sheets that runs from side to side?",
    "along": "Each joint between sheets that runs front to rear: how far left of the deck's middle (minus: right)?",
}
_NO_JOINT: Final = "none"
_SLACK: Final = 1e-6  # one length in two units [m]


def layer_anew(catalog: Catalog, content: Mapping[str, Plain], index: int) -> Steps[Draft]:
    """Questions about layer `index` of the deck alone; ends with a copy of the scenario `content` that has it."""
    draft = Draft(copy.deepcopy(dict(content)))
    questions = DeckQuestions(catalog, draft)
    questions.section = f"The deck: layer {index + 1}"
    questions.forget(f"layer {index + 1}")
    layers = questions.got("deck", "layers")
    layers[index] = yield from questions.layer(index, len(layers))
    return draft


class DeckQuestions(Asker):
    """From the trailer's weights to the screws that hold its deck down."""

    def trailer(self) -> Steps[None]:
        """Weights; without both they are left out."""
        self.section = "The trailer"
        empty = yield from self.ask(
            ("trailer", "empty_weight"), "Weight of the trailer when empty?", quantity("Weight"),
            example="2900 lb", unknown="the trailer's own ratings are not checked",
        )  # fmt: skip
        if empty is None:
            return
        gross = yield from self.ask(
            ("trailer", "gross_rating"), "Gross rating on its plate (trailer and load together)?", quantity("Weight"),
            example="7000 lb", unknown="the trailer's own ratings are not checked",
        )  # fmt: skip
        if gross is not None:
            self.put(("trailer",), {"empty_weight": empty, "gross_rating": gross})

    def deck(self) -> Steps[None]:
        """Size and layers."""
        self.section = "The deck"
        for key, text in (
            ("length", "Length of the deck, rear edge to front edge?"),
            ("width", "Width of the deck?"),
        ):
            size = yield from self.need(("deck", key), text, quantity("Extent"), example=_LENGTH_EXAMPLE)
            self.put(("deck", key), size)
        number = yield from self.number(
            "layers", ("deck", "layers"), "How many layers lie on each other?", 1, 6,
            default="1", origin="most decks have one",
        )  # fmt: skip
        layers: list[Plain] = []
        for index in range(number):
            layers.append((yield from self.layer(index, number)))
            self.put(("deck", "layers"), layers)
        yield from self._joined(number)

    def layer(self, index: int, number: int) -> Steps[dict[str, Plain]]:
        """What one of `number` layers is made of, and where its sheets meet."""
        which = "the deck" if number == 1 else f"layer {index + 1}" + (" (the top one)" if index == 0 else "")
        path: Path = ("deck", "layers", index)
        panel = yield from self.pick(
            (*path, "panel"), f"What is {which} made of?", list(self.catalog.panels),
            help="\n".join(f"{row.name}: {row.label}" for row in self.catalog.panels.values()),
        )  # fmt: skip
        kind = self.catalog.panel(panel)

        def thickness(text: str) -> str:
            try:
                kind.section(metres("Thickness", text))
            except UnknownName as error:
                raise Slip(str(error)) from None
            return text

        thick = yield from self.need((*path, "thickness"), f"How thick is {which}?", thickness, example=_THIN_EXAMPLE)
        grain = yield from self.choose(
            (*path, "face_grain"), f"Which way does the face grain of {which} run (planks: the planks)?",
            ("along", "across"), unknown="both ways are tried and the worse counts",
            help="along: front to rear of the trailer; across: from side to side",
        )  # fmt: skip
        conditions = list(self.catalog.conditions)
        condition = yield from self.need(
            (*path, "condition"), f"In what condition is {which}?", partial(self._sound_enough, choice(conditions)),
            choices=tuple(conditions),
            help="\n".join(f"{row.name}: {row.advice}" for row in self.catalog.conditions.values())
            + "\nProbe it from below with an awl; decay cannot be judged by eye.",
        )  # fmt: skip
        layer: dict[str, Plain] = {"panel": panel, "thickness": thick, "condition": condition}
        if grain is not None:
            layer["face_grain"] = grain
        if kind.section(metres("Thickness", thick)).I_perp > 0:  # planks have a joint at every edge, known as such
            yield from self._joints(index, layer)
        return layer

    def _sound_enough(self, read: Callable[[str], str], typed: str) -> str:
        """The condition that is `typed`, if a layer in it carries anything."""
        row = self.catalog.condition(read(typed))
        if not row.carries:
            raise Slip(f"a layer that is {row.name} carries nothing: {row.advice}, or count one layer less")
        return row.name

    def _joints(self, index: int, layer: dict[str, Plain]) -> Steps[None]:
        """Where the sheets of one layer meet."""
        for way, text in _JOINTS.items():
            usual: dict[str, Any] = {}
            if metres("Extent", self.got("deck", _SIDE[way])) <= _SHEET:
                usual = {"default": _NO_JOINT, "origin": "a sheet of 4 ft reaches that far, whichever way it lies"}
            path: Path = ("deck", "layers", index, f"joints_{way}")
            joints = yield from self.need(
                path, text, partial(self._joint_places, way=way),
                example="96 in" + ("; several apart by commas; none" if way == "across" else " or 0 in; none"),
                help="several apart by commas; none: the layer is one sheet in this direction. Look from below: a "
                "joint near a ring weakens it. A sheet is usually 4 ft by 8 ft.", **usual,
            )  # fmt: skip
            if joints != _NO_JOINT:
                layer[f"joints_{way}"] = list(joints.split(", "))

    def _joint_places(self, typed: str, way: str) -> str:
        if typed.casefold() in (_NO_JOINT, "no"):
            return _NO_JOINT
        places = [part.strip() for part in typed.split(",")]
        long, wide = (metres("Extent", self.got("deck", side)) for side in ("length", "width"))
        least, most = (0.0, long) if way == "across" else (-wide / 2, wide / 2)
        for place in places:
            if not least + _SLACK < metres("Place", place) < most - _SLACK:
                raise Slip(f"{place!r} is not on the deck; {self.place(least)} to {self.place(most)} is")
        return ", ".join(places)

    def _joined(self, number: int) -> Steps[None]:
        path: Path = ("deck", "layers_joined")
        joined: Answer = None
        if number > 1:
            joined = yield from self.choose(
                path, "How are the layers joined?", ("loose", "screwed", "glued"),
                unknown="loose is written, the weakest way",
                help="screwed: layer to layer, all over; glued: all over, as one",
            )  # fmt: skip
            if joined is None:
                self.assume("how the layers are joined", "loose, the weakest way")
        self.put(path, joined or "loose")

    def under_the_deck(self) -> Steps[None]:
        """Cross-members, rails and hold-down screws."""
        self.section = "Under the deck"
        path: Path = ("deck", "cross_members")
        section = yield from self.pick(
            (*path, "section"), "What are the cross-members?", list(self.catalog.members),
            help="shape, then depth x width x wall; a leg or wall is measured at its edge, best with a calliper\n"
            "Between two sizes take the thinner.",
        )  # fmt: skip
        self.put((*path, "section"), section)
        spacing = yield from self.need(
            (*path, "spacing"), "Distance from one cross-member to the next, middle to middle?",
            quantity("SmallExtent"), example="16 in, or 400 mm",
        )  # fmt: skip
        self.put((*path, "spacing"), spacing)
        first = yield from self.need(
            (*path, "first_at"), "From the rear edge of the deck to the middle of the first cross-member?",
            self._within_deck, example="8 in",
        )  # fmt: skip
        self.put((*path, "first_at"), first)
        steel = yield from self.metal(
            (*path, "steel"), "the cross-members", "What metal are they?",
            default="mild", origin="plain structural steel; take it only if a magnet sticks",
            help="a magnet sticks: mild unless the papers say better; it does not stick: aluminium, 6061-T6-welded "
            "where it is welded",
        )  # fmt: skip
        self.put((*path, "steel"), steel)
        rails = yield from self.ask(
            (*path, "rails"), "Distance between the two main rails the cross-members rest on?", self._within_width,
            example="60 in", unknown="half of the deck's width and all of it are tried; the worse counts",
        )  # fmt: skip
        self.put((*path, "rails"), rails)
        yield from self._hold_down()

    def _hold_down(self) -> Steps[None]:
        path: Path = ("deck", "hold_down")
        into_steel = self.catalog.hold_down_screws
        weakest = min(into_steel, key=lambda row: row.D).name
        screw = yield from self.choose(
            (*path, "screw"), "Which screws hold the deck down to the cross-members?",
            [row.name for row in into_steel], unknown=f"{weakest} is written, the smallest in the table",
        )  # fmt: skip
        if screw is None:
            self.assume("screws that hold the deck down", f"{weakest}, the smallest in the table")
        self.put((*path, "screw"), screw or weakest)
        spacing = yield from self.need(
            (*path, "spacing"), "Distance from one of these screws to the next, along a cross-member?",
            quantity("SmallExtent"), example="12 in",
        )  # fmt: skip
        self.put((*path, "spacing"), spacing)

    def _within_deck(self, text: str) -> str:
        if metres("Height", text) > metres("Extent", self.got("deck", "length")) + _SLACK:
            raise Slip(f"{text!r} is beyond the front edge; the deck is {self.got('deck', 'length')} long")
        return text

    def _within_width(self, text: str) -> str:
        if metres("RailsApart", text) > metres("Extent", self.got("deck", "width")) + _SLACK:
            raise Slip(f"{text!r} is more than the deck is wide ({self.got('deck', 'width')})")
        return text
