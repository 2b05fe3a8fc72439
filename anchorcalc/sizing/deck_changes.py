"""Changes of the deck and of where the rings stand on it, each as an edit of the scenario's own texts."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING, Final

from anchorcalc.rig.parts import Bolts
from anchorcalc.scenario.model import MOST_SCREWS_PER_CROSSING
from anchorcalc.sizing.drafts import Change, Texts, settle
from anchorcalc.sizing.strap_changes import StrapDrafts
from anchorcalc.sizing.usual import SAME
from anchorcalc.units import parse_quantity

if TYPE_CHECKING:
    from anchorcalc.rig.parts import AnchorSetting

_LEAST_SPACING: Final = {"us": 0.0508, "si": 0.05}  # of hold-down screws [m]; judgement
_ASIDE: Final = 0.00635  # between a ring's base and the edge of a member beside it [m]
_SOLD_BY: Final = {"us": 0.00635, "si": 0.005}  # steps in which long screws are sold [m]; judgement
_OUT_OF_STEEL: Final = 2  # diameters of a hold-down screw: its drill point and three threads; judgement
_SHORTEST_MOVE: Final = 0.0127  # [m]
_STEP: Final = {"us": 0.00635, "si": 0.005}  # of new places and spacings [m]


class DeckDrafts(StrapDrafts):
    """Changes of the deck and of the places on it."""

    # --- the deck

    def deck(self) -> Iterator[Change]:
        """What is done to the deck itself."""
        floor = self._rig.floor
        if floor.heads_on > 1:

            def through(texts: Texts) -> None:
                texts["deck"]["hold_down"]["heads_on"] = "1"
                settle(texts, "screw heads")
                self._lengthen(texts, self._over_the_heads)

            buy = f"{self._screws_through(self._over_the_heads)}: {self._for_the_whole_deck()}"
            yield Change(
                frozenset({"heads"}),
                "screw the deck down through all its layers",
                f"heads on layer {floor.heads_on}",
                "heads on the top layer",
                "an afternoon",
                buy,
                through,
            )
        yield from self._sound_screws()
        yield from self._more_in_each_plank() if floor.of_planks else self._closer_screws()
        yield from self._another_layer()

    def _sound_screws(self) -> Iterator[Change]:
        """Screws of the deck that nobody looked at, or that are rusted or missing: a look, and new ones."""
        found = self._rig.floor.hold_down_condition
        if found == "sound" or (found is None and not self._rig.screws_unseen):
            return

        def edit(texts: Texts) -> None:
            texts["deck"]["hold_down"]["condition"] = "sound"
            settle(texts, "screw condition")

        yield Change(
            frozenset({"deck screws"}),
            "look at the screws that hold the deck down by each ring; replace what is rusted or missing",
            found or "nobody looked",
            "all there and sound",
            "an afternoon" if found else "minutes with a wrench",
            f"{self._screws_through(0.0)}: as many as are {found.removeprefix('some ')}" if found else "",
            edit,
        )

    def _more_in_each_plank(self) -> Iterator[Change]:
        """A deck of planks hangs on the screws of each plank, whatever their spacing is called."""
        now, members = self._rig.floor.screws_per_crossing, len(self._rig.floor.lines)
        planks = [number for number, layer in enumerate(self._rig.floor.layers) if layer.section.planks]
        for count in range(now + 1, MOST_SCREWS_PER_CROSSING + 1):

            def edit(texts: Texts, count: int = count) -> None:
                for number in planks:
                    texts["deck"]["layers"][number]["screws_per_crossing"] = str(count)
                settle(texts, "plank screws")

            yield Change(
                slots=frozenset({"hold-down"}),
                what="more screws from each plank into the members",
                was=f"{now} a plank",
                to=f"{count} a plank",
                effort="an afternoon",
                buy=f"{self._screws_through(0.0)}: {count - now} more for each plank on {members} members",
                edit=edit,
                only_if="lesser helps" if count > now + 1 else "",
            )

    @property
    def _over_the_heads(self) -> float:
        """The layers that lie on the heads of the deck's screws [m]."""
        floor = self._rig.floor
        return sum(layer.thickness for layer in floor.layers[: floor.heads_on - 1])

    @property
    def _under_the_deck(self) -> float:
        """How long each cross-member is under the deck [m]."""
        floor = self._rig.floor
        return floor.length if floor.lengthwise else floor.width

    def _lengthen(self, texts: Texts, more: float) -> None:
        """Deck screws into wood that reach as deep through more layers."""
        length = self._rig.floor.hold_down_length
        if length is not None:
            texts["deck"]["hold_down"]["length"] = self._length(length + more)

    def _screws_through(self, more: float) -> str:
        """Deck screws through `more` wood than those there are [m], in words that say how long they have to be.

        They come out of the steel by their drill point and some threads; into wood they go as deep as those there are.
        """
        floor, step = self._rig.floor, _SOLD_BY[self._rig.units]
        if floor.timber is None:
            held = sum(layer.thickness for layer in floor.layers[floor.heads_on - 1 :])
            now = held + floor.section.thickness + _OUT_OF_STEEL * floor.hold_down.D
        else:
            now = floor.hold_down_length or 0.0
        long = math.ceil((now + more) / step - SAME) * step
        return f"{floor.hold_down.name.removesuffix(' screw')} screws, no shorter than {self._length(long)}"

    def _for_the_whole_deck(self) -> str:
        """About how many screws the deck has."""
        floor = self._rig.floor
        return f"about {len(floor.lines) * (math.floor(self._under_the_deck / floor.hold_down_spacing) + 1)}"

    def _closer_screws(self) -> Iterator[Change]:
        spacing, least = self._rig.floor.hold_down_spacing, _LEAST_SPACING[self._rig.units]
        step = _STEP[self._rig.units]
        told = dict.fromkeys(
            self._length(max(math.floor(spacing / part / step + 1e-6) * step, least)) for part in (2, 3)
        )
        for number, closer in enumerate(told if spacing > least + SAME else ()):
            more = round(self._under_the_deck * (1 / parse_quantity(closer, "length") - 1 / spacing))

            def edit(texts: Texts, closer: str = closer) -> None:
                texts["deck"]["hold_down"]["spacing"] = closer
                settle(texts, "hold-down spacing")

            yield Change(
                slots=frozenset({"hold-down"}),
                what="more hold-down screws in the members near the rings",
                was=f"every {self._length(spacing)}",
                to=f"every {closer}",
                effort="an afternoon",
                buy=f"{self._screws_through(0.0)}: about {more} more for each cross-member",
                edit=edit,
                only_if="lesser helps" if number else "",
            )

    def _another_layer(self) -> Iterator[Change]:
        if len(self._content["deck"]["layers"]) >= 6:
            return
        top = self._rig.floor.layers[0]
        deeper = top.thickness + self._over_the_heads
        screws = f"{self._screws_through(deeper)}: {self._for_the_whole_deck()}"
        bolted = any(isinstance(each.fasteners, Bolts) for each in self._rig.used_mountings)
        bolts = f"; bolts {self._length(top.thickness)} longer for the rings" if bolted else ""
        told, grain = self._length(top.thickness), "across" if self._rig.floor.lengthwise else "along"

        def edit(texts: Texts) -> None:
            layers = texts["deck"]["layers"]
            kept = {key: value for key, value in layers[0].items() if key in ("panel", "thickness", "plank_width")}
            layers.insert(0, {**kept, "face_grain": grain, "condition": "sound"})
            texts["deck"]["hold_down"]["heads_on"] = "1"
            settle(texts, "screw heads")
            self._lengthen(texts, deeper)
            for mounting in texts["mountings"].values():  # bolts go through one layer more
                if mounting.get("fasteners", {}).get("kind") == "bolt":
                    mounting["fasteners"].pop("length", None)

        yield Change(
            frozenset({"layer", "heads"}),
            "another layer on the deck, screwed through into every cross-member",
            f"{len(self._rig.floor.layers)} of them",
            f"one more of {told}, grain {grain}",
            "an afternoon",
            f"{top.panel.name} {told} for the whole deck; {screws}{bolts}",
            edit,
        )

    # --- where the rings stand

    def places(self) -> Iterator[Change]:
        """Rings moved next to a cross-member, or outward for flatter straps; those that govern alone also inward."""
        if not self._movable:
            return
        yield from self._some_moved()
        beside = {each.name: self._beside_member(each) for each in self._anchors}
        if any(abs(x - self._rig.anchors[name].at[0]) > _SHORTEST_MOVE for name, x in beside.items()):
            yield self._moved("rings moved next to a cross-member", "beside the nearest member", beside)
        outward: dict[str, float] = {}
        for bays in (1, 2):
            nearer, outward = outward, {}
            for anchor, point in (leg for strap in self._rig.straps.values() for leg in strap.legs):
                at, hook = self._rig.anchors[anchor].at, self._rig.load.tie_points[point].at
                outward[anchor] = self._outward(self._rig.anchors[anchor], math.copysign(bays, at[0] - hook[0]))
            moved = any(abs(x - self._rig.anchors[name].at[0]) > _SHORTEST_MOVE for name, x in outward.items())
            if moved and outward != nearer:
                words = f"{bays} {'bay' if bays == 1 else 'bays'} on, or as far as there are members"
                yield self._moved("rings moved farther from the hooks: longer, flatter straps", words, outward)

    def _some_moved(self) -> Iterator[Change]:
        """The rings that alone do not pass, side by side, moved next to a cross-member; the others stay."""
        names = [name for name in self._rig.anchors if name in {state.anchor for state in self._failing}]
        held = all(case.held for case in self._cases)
        first = self._rig.anchors[names[0]] if names and held else None
        alike = first is not None and all(abs(self._rig.anchors[name].at[0] - first.at[0]) < SAME for name in names)
        if first is None or not alike or len(names) == len(self._rig.strapped):
            return
        for to, x in self._beside_next_members(first):
            if abs(x - first.at[0]) > _SHORTEST_MOVE:
                what = f"only {' and '.join(names)} moved next to a cross-member"
                yield self._moved(what, to, dict.fromkeys(names, x))

    def _beside_next_members(self, anchor: AnchorSetting) -> Iterator[tuple[str, float]]:
        """Places on both sides of the next member behind a ring and of the one ahead of it, in words and along."""
        lines, room, at = self._rig.floor.lines, self._from_line(anchor), anchor.at[0]
        behind = [line for line in lines if line < at - SAME][-1:]
        ahead = [line for line in lines if line > at + SAME][:1]
        for line in (*behind, *ahead):
            for side, x in ("behind", line - room), ("ahead of", line + room):
                if lines[0] < x < lines[-1]:
                    yield f"{side} the one at {self._length(line)}", x

    def _moved(self, what: str, to: str, places: dict[str, float]) -> Change:
        step = _STEP[self._rig.units]
        told = {name: self._length(round(x / step) * step) for name, x in places.items()}

        def edit(texts: Texts) -> None:
            for name, x in told.items():
                texts["anchors"][name]["at"][0] = x

        now = {name: self._length(self._rig.anchors[name].at[0]) for name in told}
        moved = [name for name in told if told[name] != now[name]]
        was = f"{_by_place(now, moved)} from the rear edge"
        return Change(frozenset({"place"}), what, was, f"{to}: {_by_place(told, moved)}", "an afternoon", "", edit)

    def _outward(self, anchor: AnchorSetting, bays: float) -> float:
        """A place so many bays on, not beyond the last cross-member, and never back the other way."""
        lines, room, at = self._rig.floor.lines, self._from_line(anchor), anchor.at[0]
        wanted = at + bays * self._rig.floor.spacing
        return max(at, min(wanted, lines[-1] - room)) if bays > 0 else min(at, max(wanted, lines[0] + room))

    def _beside_member(self, anchor: AnchorSetting) -> float:
        line, lines = self._nearest_line(anchor), self._rig.floor.lines
        aside = anchor.at[0] - line
        if abs(aside) < SAME:  # right over it: into a bay, not onto the deck's loose end
            aside = -1.0 if line == lines[-1] else 1.0
        return line + math.copysign(self._from_line(anchor), aside)

    def _from_line(self, anchor: AnchorSetting) -> float:
        """From the middle of a member to that of a ring right beside it."""
        return self._rig.floor.member.width / 2 + anchor.mounting.lies_on[0] / 2 + _ASIDE

    def _nearest_line(self, anchor: AnchorSetting) -> float:
        return min(self._rig.floor.lines, key=lambda line: abs(line - anchor.at[0]))


def _by_place(places: dict[str, str], names: list[str]) -> str:
    """Rings with where they stand, those at one place together."""
    together: dict[str, list[str]] = {}
    for name in names:
        together.setdefault(places[name], []).append(name)
    return "; ".join(f"{' and '.join(each)} at {place}" for place, each in together.items())
