"""Questions about the trailer: its weights, the deck and its cross-members, rings and their fasteners."""

from __future__ import annotations

from typing import Any, Final

from anchorcalc.scenario.asking import Asker
from anchorcalc.scenario.document import Plain
from anchorcalc.scenario.faults import Path
from anchorcalc.scenario.guided import Answer, Slip, Steps, metres, new_name, quantity
from anchorcalc.table_rows import UnknownName

_LENGTH_EXAMPLE: Final = "80 in, or 2 m"
_THIN_EXAMPLE: Final = "3/4 in, or 18 mm"
_RATING_EXAMPLE: Final = "1666 lbf, or 7.4 kN"


class DeckQuestions(Asker):
    """From the trailer's weights to the ways its rings are fastened."""

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
            layers.append((yield from self._layer(index, number)))
            self.put(("deck", "layers"), layers)
        yield from self._joined(number)

    def _layer(self, index: int, number: int) -> Steps[dict[str, Plain]]:
        which = "the deck" if number == 1 else f"layer {index + 1}" + (" (the top one)" if index == 0 else "")
        path: Path = ("deck", "layers", index)
        panel = yield from self.pick((*path, "panel"), f"What is {which} made of?", list(self.catalog.panels))
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
            ("along", "across"), unknown="across is taken, the weak way between cross-members",
            help="along: front to rear of the trailer; across: from side to side",
        )  # fmt: skip
        condition = yield from self.pick(
            (*path, "condition"), f"In what condition is {which}?", list(self.catalog.conditions),
            help="\n".join(f"{row.name}: {row.advice}" for row in self.catalog.conditions.values())
            + "\nProbe it from below with an awl; decay cannot be judged by eye.",
        )  # fmt: skip
        layer: dict[str, Plain] = {"panel": panel, "thickness": thick, "condition": condition}
        return layer if grain is None else {**layer, "face_grain": grain}

    def _joined(self, number: int) -> Steps[None]:
        path: Path = ("deck", "layers_joined")
        joined: Answer = None
        if number > 1:
            joined = yield from self.choose(
                path, "How are the layers joined?", ("loose", "screwed", "glued"),
                unknown="loose is written, the weakest way",
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
            help="shape, then depth x width x wall; a leg or wall is measured at its edge, best with a calliper",
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
        steel = yield from self.pick(
            (*path, "steel"), "What metal are they?", list(self.catalog.steels),
            default="mild", origin="plain structural steel; take it only if a magnet sticks",
        )  # fmt: skip
        self.put((*path, "steel"), steel)
        rails = yield from self.ask(
            (*path, "rails"), "Distance between the two main rails the cross-members rest on?", self._within_width,
            example="60 in", unknown="the deck's width is taken, the longest it can be",
        )  # fmt: skip
        self.put((*path, "rails"), rails)
        yield from self._hold_down()

    def _hold_down(self) -> Steps[None]:
        path: Path = ("deck", "hold_down")
        into_steel = [row for row in self.catalog.screws.values() if row.kind == "self-drilling"]
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
        if metres("Height", text) > metres("Extent", self.got("deck", "length")):
            raise Slip(f"{text!r} is beyond the front edge; the deck is {self.got('deck', 'length')} long")
        return text

    def _within_width(self, text: str) -> str:
        if metres("RailsApart", text) > metres("Extent", self.got("deck", "width")):
            raise Slip(f"{text!r} is more than the deck is wide ({self.got('deck', 'width')})")
        return text

    # --- rings and fasteners ---------------------------------------------------------------------------

    def mountings(self) -> Steps[None]:
        """One or more ways to fasten a ring."""
        self.section = "The floor rings"
        number = yield from self.number(
            "mountings", ("mountings",), "How many ways of fastening a ring do you want to describe?", 1, 6,
            default="1", origin="all rings alike; more can be compared with each other",
        )  # fmt: skip
        names: list[str] = []
        for index in range(number):
            usual = "as built" if index == 0 else f"plan {index + 1}"
            given = yield from self.need(
                ("mountings",), "A name for this way of fastening?" if index == 0 else "A name for the next way?",
                new_name(names), f"mounting {index}", default=usual, origin="a name to find it by",
            )  # fmt: skip
            names.append(given)
            self.section = f"The floor rings: {given}"
            yield from self._mounting(("mountings", given))

    def _mounting(self, path: Path) -> Steps[None]:
        yield from self._ring((*path, "ring"))
        kind = yield from self._fasteners((*path, "fasteners"))
        backing: dict[str, Plain] = {"kind": "none"}
        if kind == "bolt":
            backing = yield from self._backing((*path, "backing"))
        self.put((*path, "backing"), backing)

    def _ring(self, path: Path) -> Steps[None]:
        self.put(path, (yield from self.rating(path, "the ring")))
        long = yield from self.need(
            (*path, "base"), "Length of the ring's base, along the trailer?", quantity("SmallExtent"),
            f"{path} base along", example="4 1/2 in",
        )  # fmt: skip
        wide = yield from self.need(
            (*path, "base"), "Width of its base, across the trailer?", quantity("SmallExtent"),
            f"{path} base across", default=long, origin="a square base",
        )  # fmt: skip
        self.put((*path, "base"), [long, wide])
        thick = yield from self.ask(
            (*path, "base_thickness"), "Thickness of its base?", quantity("Thickness"),
            example="1/8 in", unknown="a thin pressed base is taken",
        )  # fmt: skip
        self.put((*path, "base_thickness"), thick)
        height = yield from self.need(
            (*path, "pull_height"), "How high above the deck does the strap pull at the ring?", quantity("Height"),
            example="1/2 in", help="measure to the bar of the raised ring; higher is worse for the fasteners",
        )  # fmt: skip
        self.put((*path, "pull_height"), height)

    def rating(self, path: Path, what: str) -> Steps[dict[str, Plain]]:
        """Working load limit of `what`, or else its breaking strength, or neither."""
        rated = yield from self.ask(
            (*path, "rated"), f"Working load limit (WLL, SWL or LC) marked on {what}?", quantity("Rating"),
            example=_RATING_EXAMPLE, unknown="the breaking strength is asked for",
            help="pounds on a label are lbf, kilograms are kgf, decanewtons are daN",
        )  # fmt: skip
        if rated is not None:
            return {"rated": rated}
        self.draft.notes.pop()  # the next answer settles it, or says the same
        breaking = yield from self.ask(
            (*path, "breaking"), f"Breaking strength (MBS, BS) marked on {what}?", quantity("Rating"),
            example="5000 lbf", unknown="it counts as unrated, and what is unrated cannot pass",
        )  # fmt: skip
        return {} if breaking is None else {"breaking": breaking}

    def _fasteners(self, path: Path) -> Steps[str]:
        kind = yield from self.pick(
            (*path, "kind"), "What holds the ring to the deck?", ("bolt", "wood screw", "lag screw")
        )
        if kind == "bolt":
            size = yield from self.pick((*path, "size"), "Size of the bolts?", list(self.catalog.threads))
            self.put(path, {"kind": kind, "size": size})
            yield from self._grade(path, size)
        else:
            yield from self._screw_size(path, kind)
            length = yield from self.need(
                (*path, "length"), "Length of the screws?", quantity("SmallExtent"), example="1 1/2 in"
            )
            self.put((*path, "length"), length)
            holes = yield from self.choose(
                (*path, "holes"), "Were they driven into new holes, or again into old ones?", ("new", "re-driven"),
                unknown="re-driven is taken; such screws hold nothing that can be counted",
            )  # fmt: skip
            self.put((*path, "holes"), holes)
        yield from self._pattern((*path, "at"), (*path[:-1], "ring", "base"), kind)
        return kind

    def _screw_size(self, path: Path, kind: str) -> Steps[None]:
        rows = [row for row in self.catalog.screws.values() if row.kind == kind]
        weakest = min(rows, key=lambda row: row.D).size
        size = yield from self.choose(
            (*path, "size"), f"Size of the {kind}s?", [row.size for row in rows],
            unknown=f"{weakest} is written, the smallest in the table",
        )  # fmt: skip
        if size is None:
            self.assume(f"size of the {kind}s of {path[1]}", f"{weakest}, the smallest in the table")
        self.put(path, {"kind": kind, "size": size or weakest})

    def _grade(self, path: Path, size: str) -> Steps[None]:
        thread = self.catalog.thread(size)
        fits = [row.name for row in self.catalog.bolt_grades.values()
                if row.series == thread.series and row.up_to >= thread.D]  # fmt: skip
        grade = yield from self.choose(
            (*path, "grade"), "Grade of the bolts, by the marks on their heads?", fits,
            unknown="the weakest in common sale is taken",
            help="inch: no mark A307 or SAE 2, three lines SAE 5, six lines SAE 8; metric: the number is on the head",
        )  # fmt: skip
        self.put((*path, "grade"), grade)

    def _pattern(self, path: Path, base: Path, kind: str) -> Steps[None]:
        long, wide = (metres("SmallExtent", text) for text in self.got(*map(str, base)))
        number = yield from self.number(
            f"{path} number",
            path,
            f"How many {kind}s has each ring?",
            1,
            24,
            default="4",
            origin="most bases have four",
        )
        if number != 4:
            yield from self._points(path, number, (long, wide))
            return
        along = yield from self.need(
            path, f"Distance between the {kind}s along the trailer, middle to middle?", _up_to(long),
            f"{path} along", example="3 1/4 in",
        )  # fmt: skip
        more: dict[str, Any] = (
            {"default": along, "origin": "a square of four"} if metres("SmallExtent", along) <= wide else {}
        )
        across = yield from self.need(
            path, f"Distance between the {kind}s across the trailer?", _up_to(wide), f"{path} across", **more
        )
        self.put(path, {"square": along} if across == along else {"rectangle": [along, across]})

    def _points(self, path: Path, number: int, base: tuple[float, float]) -> Steps[None]:
        points: list[Plain] = []
        for index in range(number):
            point: list[Plain] = []
            for side, (way, half) in enumerate((("forward", base[0] / 2), ("to the left", base[1] / 2))):
                text = f"Fastener {index + 1}: how far {way} of the middle of the base (minus for the other way)?"
                point.append(
                    (yield from self.need(path, text, _within(half), f"{path} {index} {side}", example="1 1/2 in"))
                )
            points.append(point)
        self.put(path, {"points": points})

    def _backing(self, path: Path) -> Steps[dict[str, Plain]]:
        kind = yield from self.pick(
            (*path, "kind"), "What is under the deck at the nuts?", ("washers", "plate", "member", "bridge"),
            help="washers: one under each nut; plate: one steel plate under all bolts;\n"
            "member: bolts through a cross-member; bridge: a bar under two neighbouring cross-members",
        )  # fmt: skip
        if kind == "washers":
            return {"kind": kind, **(yield from self._washer(path))}
        if kind == "plate":
            return (yield from self._plate(path))
        if kind == "member":
            return (yield from self._through_member(path))
        width = yield from self.need((*path, "width"), "Width of the bar?", quantity("SmallExtent"), example="2 in")
        thick = yield from self._thickness(path, "the bar", "1/2 in")
        steel = yield from self._steel(path, "mild")
        bars = yield from self.pick((*path, "bars"), "How many such bars for one ring?", ("1", "2"), default="1",
                                    origin="one is the weaker way")  # fmt: skip
        return {"kind": kind, "width": width, "thickness": thick, "steel": steel, "bars": bars}

    def _washer(self, path: Path) -> Steps[dict[str, Plain]]:
        outside = yield from self.need(
            (*path, "outside"),
            "Outside diameter of the washers?",
            quantity("SmallExtent"),
            example="1 1/2 in",
        )
        thick = yield from self._washer_thickness(path)
        steel = yield from self._steel(path, "mild-washer")
        return {"outside": outside, "thickness": thick, "steel": steel}

    def _washer_thickness(self, path: Path) -> Steps[str]:
        thick = yield from self.ask(
            (*path, "thickness"), "Thickness of the washers?", quantity("Thickness"), example="0.08 in, or 2 mm",
            unknown="the thinnest that a standard allows for this bolt is written",
        )  # fmt: skip
        if thick is not None:
            return thick
        bolt = self.got("mountings", str(path[1]), "fasteners", "size")
        stock = self.catalog.washers.values()
        thinnest = min(row.thickness_least for row in [row for row in stock if row.bolt == bolt] or stock)
        self.assume(f"thickness of the washers of {path[1]}", f"{self.place(thinnest)}, the thinnest standard one")
        return self.place(thinnest)

    def _plate(self, path: Path) -> Steps[dict[str, Plain]]:
        pattern = self.got(*map(str, path[:-1]), "fasteners", "at")
        least = _extent_of(pattern)
        long = yield from self.need(
            (*path, "size"), "Length of the plate, along the trailer?", _more_than(least[0]), f"{path} along",
            example="6 in",
        )  # fmt: skip
        more: dict[str, Any] = (
            {"default": long, "origin": "a square plate"} if metres("SmallExtent", long) > least[1] else {}
        )
        wide = yield from self.need(
            (*path, "size"),
            "Width of the plate, across the trailer?",
            _more_than(least[1]),
            f"{path} across",
            **more,
        )
        thick = yield from self._thickness(path, "the plate", "3/16 in")
        steel = yield from self._steel(path, "mild")
        return {"kind": "plate", "size": [long, wide], "thickness": thick, "steel": steel}

    def _through_member(self, path: Path) -> Steps[dict[str, Plain]]:
        through = yield from self.pick(
            (*path, "through"),
            "Which of the ring's bolts go through the cross-member?",
            ("front", "rear", "all"),
        )
        backing: dict[str, Plain] = {"kind": "member", "through": through}
        if self.catalog.member(self.got("deck", "cross_members", "section")).shape == "tube":
            walls = yield from self.choose(
                (*path, "walls"), "Are the nuts below the tube (both walls), or inside it (one)?", ("one", "both"),
                unknown="one is taken; one wall holds less than two",
            )  # fmt: skip
            if walls is not None:
                backing["walls"] = walls
        washers = through != "all" or (
            yield from self.agree(f"{path} washers", path, "Are there washers under the nuts?", "none holds less", "no")
        )
        if washers:
            backing["washer"] = yield from self._washer((*path, "washer"))
        return backing

    def _thickness(self, path: Path, what: str, example: str) -> Steps[str]:
        return (
            yield from self.need((*path, "thickness"), f"Thickness of {what}?", quantity("Thickness"), example=example)
        )

    def _steel(self, path: Path, usual: str) -> Steps[str]:
        return (
            yield from self.pick(
                (*path, "steel"), "What metal?", list(self.catalog.steels),
                default=usual, origin="unmarked steel; not for aluminium",
            )
        )  # fmt: skip


def _up_to(most: float) -> Any:
    def read(text: str) -> str:
        if metres("SmallExtent", text) > most + 1e-9:
            raise Slip(f"{text!r} is more than the base measures")
        return text

    return read


def _within(half: float) -> Any:
    def read(text: str) -> str:
        if abs(metres("Place", text)) > half + 1e-9:
            raise Slip(f"{text!r} is outside the base")
        return text

    return read


def _more_than(least: float) -> Any:
    def read(text: str) -> str:
        if metres("SmallExtent", text) <= least:
            raise Slip(f"{text!r} does not cover the bolts")
        return text

    return read


def _extent_of(pattern: dict[str, Any]) -> tuple[float, float]:
    """Length and width of a bolt pattern [m]."""
    from anchorcalc.scenario.model import Pattern

    xs, ys = zip(*Pattern.model_validate(pattern).positions, strict=True)
    return 2 * max(map(abs, xs)), 2 * max(map(abs, ys))
