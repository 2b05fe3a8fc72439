"""Questions about the ways rings are fastened: ring, fasteners, and what is under the deck."""

from __future__ import annotations

import copy
from typing import TYPE_CHECKING, Any, Final

from anchorcalc.interview.asking import Asker
from anchorcalc.interview.guided import Draft, Slip, Steps, metres, new_name, quantity
from anchorcalc.reading.document import Plain
from anchorcalc.reading.faults import Path

if TYPE_CHECKING:
    from collections.abc import Mapping

    from anchorcalc.catalog.tables import Catalog

_ASKED: Final = ("ring", "fasteners", "backing")
_RATING_EXAMPLE: Final = "1666 lbf, or 7.4 kN; a number alone on the label counts as breaking strength, not here"
_RATING_HELP: Final = (
    "pounds on a label are lbf, kilograms are kgf, decanewtons are daN\n"
    "A label with one bare number, such as 6000 LBS, and no word of what it means: count it as breaking strength, "
    "not as working limit. Say don't know here, and give the number when the breaking strength is asked."
)
_BACKINGS: Final = (
    "washers: one under each nut; plate: one steel plate under all bolts;\n"
    "member: bolts through a cross-member; bridge: a bar under two neighbouring cross-members"
)


def mounting_anew(catalog: Catalog, content: Mapping[str, Plain], name: str) -> Steps[Draft]:
    """Questions about the mounting `name` alone; ends with a copy of the scenario `content` that has it.

    What is said of it already is replaced, and what was assumed for it forgotten; an opening cut for its ring stays.
    """
    draft = Draft(copy.deepcopy(dict(content)))
    questions = MountingQuestions(catalog, draft)
    mountings = questions.got("mountings")
    mountings[name] = {key: value for key, value in mountings.get(name, {}).items() if key not in _ASKED}
    questions.forget(name, mountings)
    yield from questions.one(name)
    return draft


def mounting_added(catalog: Catalog, content: Mapping[str, Plain]) -> Steps[Draft]:
    """Questions about a mounting that `content` has not yet, its name first; ends with a copy that has it."""
    questions = MountingQuestions(catalog, Draft(dict(content)))
    questions.section = "Another way of fastening"
    taken = list(questions.got("mountings"))
    name = yield from questions.need(
        ("mountings",), "A name for this way of fastening?", new_name(taken), "mounting name",
        example=f"plan {len(taken) + 1}",
    )  # fmt: skip
    return (yield from mounting_anew(catalog, content, name))


class MountingQuestions(Asker):
    """The ways rings are fastened."""

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
            yield from self.one(given)

    def one(self, name: str) -> Steps[None]:
        """Ring, fasteners and backing of the mounting `name`."""
        self.section = f"The floor rings: {name}"
        path: Path = ("mountings", name)
        yield from self._ring((*path, "ring"))
        kind = yield from self._fasteners((*path, "fasteners"))
        backing: dict[str, Plain] = {"kind": "none"}
        if kind == "bolt":
            backing = yield from self._backing((*path, "backing"))
        self.put((*path, "backing"), backing)

    def _ring(self, path: Path) -> Steps[None]:
        self.put(path, (yield from self.rating(path, "the ring")))
        long = yield from self.need(
            (*path, "base", 0), "Length of the ring's base, along the trailer?", quantity("SmallExtent"),
            f"{path} base along", example="4 1/2 in",
        )  # fmt: skip
        wide = yield from self.need(
            (*path, "base", 1), "Width of its base, across the trailer?", quantity("SmallExtent"),
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
            example=_RATING_EXAMPLE, unknown="its breaking strength counts instead", help=_RATING_HELP,
        )  # fmt: skip
        if rated is not None:
            return {"rated": rated}
        self.draft.notes.pop()  # the next answer settles it, or says the same
        breaking = yield from self.ask(
            (*path, "breaking"), f"Breaking strength (MBS, BS) marked on {what}?", quantity("Rating"),
            example="5000 lbf; a number alone on the label counts here",
            unknown="it counts as unrated, and what is unrated cannot pass",
            help="pounds on a label are lbf; a bare number, such as 6000 LBS, is counted as this, the weaker meaning",
        )  # fmt: skip
        return {} if breaking is None else {"breaking": breaking}

    def _fasteners(self, path: Path) -> Steps[str]:
        kind = yield from self.pick(
            (*path, "kind"), "What holds the ring to the deck?", ("bolt", "wood screw", "lag screw"),
            help="bolt: goes through, with a nut below; wood screw: pointed, driven from above;\n"
            "lag screw: thick wood screw with a hexagon head",
        )  # fmt: skip
        if kind == "bolt":
            size = yield from self.pick((*path, "size"), "Size of the bolts?", list(self.catalog.threads),
                                        help="diameter over the thread; inch sizes with threads per inch, M is metric; "
                                        "between two take the smaller")  # fmt: skip
            self.put(path, {"kind": kind, "size": size})
            yield from self._grade(path, size)
        else:
            yield from self._screw_size(path, kind)
            length = yield from self.need(
                (*path, "length"), "Length of the screws?", quantity("SmallExtent"), example="1 1/2 in"
            )
            self.put((*path, "length"), length)
            holes = yield from self.choose(
                (*path, "holes"), "Are the screws in holes drilled for them the first time (new), or were screws moved "
                "or driven again into old holes (re-driven)?", ("new", "re-driven"),
                unknown="re-driven is taken; such screws hold nothing that can be counted",
                help="a screw that was once taken out and driven again into its hole counts as re-driven; so does one "
                "in a hole of an earlier ring",
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
            12,
            default="4",
            origin="most bases have four",
        )
        if number != 4:
            yield from self._points(path, number, (long, wide))
            return
        along = yield from self.need(
            (*path, "square"), f"Distance between the {kind}s along the trailer, middle to middle?", _up_to(long),
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
            help=_BACKINGS,
        )  # fmt: skip
        if kind == "washers":
            return {"kind": kind, **(yield from self._washer(path))}
        if kind == "plate":
            return (yield from self._plate(path))
        if kind == "member":
            return (yield from self._through_member(path))
        width = yield from self.need((*path, "width"), "Width of the bar?", quantity("SmallExtent"), example="2 in")
        thick = yield from self._thickness(path, "the bar", "1/2 in")
        steel = yield from self._steel(path, "the bars", "mild")
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
        steel = yield from self._steel(path, "the washers", "mild-washer")
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
            (*path, "size", 0), "Length of the plate, along the trailer?", _more_than(least[0]), f"{path} along",
            example="6 in",
        )  # fmt: skip
        more: dict[str, Any] = (
            {"default": long, "origin": "a square plate"} if metres("SmallExtent", long) > least[1] else {}
        )
        wide = yield from self.need(
            (*path, "size", 1),
            "Width of the plate, across the trailer?",
            _more_than(least[1]),
            f"{path} across",
            **more,
        )
        thick = yield from self._thickness(path, "the plate", "3/16 in")
        steel = yield from self._steel(path, "the plate", "mild")
        return {"kind": "plate", "size": [long, wide], "thickness": thick, "steel": steel}

    def _through_member(self, path: Path) -> Steps[dict[str, Plain]]:
        through = yield from self.pick(
            (*path, "through"),
            "Which of the ring's bolts go through the cross-member?",
            ("front", "rear", "all"),
            help="front: those nearer to the trailer's front; rear: those behind; all: every bolt",
        )
        backing: dict[str, Plain] = {"kind": "member", "through": through}
        member = self.catalog.members.get(self.got("deck", "cross_members", "section"))
        if member is not None and member.shape == "tube":
            walls = yield from self.choose(
                (*path, "walls"), "Are the nuts below the tube (both walls), or inside it (one)?", ("one", "both"),
                unknown="one is taken; sideways it holds less than two",
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

    def _steel(self, path: Path, what: str, usual: str) -> Steps[str]:
        return (
            yield from self.metal(
                (*path, "steel"), f"{what} of {path[1]}", default=usual, origin="unmarked steel; not for aluminium",
                help="stainless: 304 or 316; aluminium: 5052-H32 or 6061-T6, and 6061-T6-welded near a weld; "
                "a magnet tells steel from aluminium",
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
