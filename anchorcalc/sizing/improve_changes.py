"""Every single change a person could make to a scenario, each as an edit of the scenario's own texts."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import chain
from typing import TYPE_CHECKING, Final

from anchorcalc.rig.parts import Bars, Bolts, PlateSeat, Screws, ThroughSteel, Weld
from anchorcalc.scenario.model import MOST_MOUNTINGS
from anchorcalc.sizing.usual import (
    GRADE,
    SAME,
    STEEL,
    largest_washer,
    longest_with_room,
    plate_sides,
    thread_for,
    washer_under_member,
)
from anchorcalc.units import format_quantity

if TYPE_CHECKING:
    from anchorcalc.catalog.rows import Thread
    from anchorcalc.catalog.shop_rows import PlateStock
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.result.check import Result
    from anchorcalc.result.improve import Effort
    from anchorcalc.rig.parts import AnchorSetting, MountingSetting
    from anchorcalc.rig.rig import Rig, StrapSetting

from anchorcalc.sizing.deck_changes import DeckDrafts
from anchorcalc.sizing.drafts import Change, Texts, free_name, settle
from anchorcalc.sizing.strap_changes import HOOKS

OF_FLOOR_ALONE: Final = frozenset({"hold-down", "heads"})
"""Slots of what only the links of the lifted floor know, and the deck under the wheels."""
RINGS: Final = "ring"
"""Slot of the rings themselves."""
OF_STRENGTH_ALONE: Final = frozenset({"mounting", RINGS, "grade", "thread", HOOKS})
"""Slots of what changes neither a pull nor the deck."""

_WELD_STEP: Final = {"us": 0.0127, "si": 0.01}  # of lengths of weld [m]
_STRONGER_GRADE: Final = {"inch": "SAE 8", "metric": "ISO 10.9"}
_A_PLATE_HELPS: Final = frozenset(
    {"crush", "pull_through", "punch_out", "nut_through_plate", "panel_bending", "rolling_shear"}
)
"""Links that a larger or thicker plate changes where there is one."""
_OF_BACKING: Final = (
    "washer outside", "washer thickness", "washer metal", "plate length", "plate width", "bar width", "bars",
    "backing thickness", "backing metal", "member bolts", "bolts beside", "tube walls",
)  # fmt: skip
"""What `start` may have taken for a backing, by the names of its questions."""


def changes(content: Texts, rig: Rig, result: Result, catalog: Catalog) -> Iterator[Change]:
    """All changes worth trying for what does not pass in `result`."""
    drafts = _Drafts(content, rig, result, catalog)
    found = (drafts.straps(), drafts.mountings(), drafts.deck(), drafts.places(), drafts.more_straps())
    yield from {(change.what, change.to): change for change in chain.from_iterable(found)}.values()


class _Drafts(DeckDrafts):
    # --- rings and what backs them

    def mountings(self) -> Iterator[Change]:
        """Other fasteners and backings for the rings that do not pass."""
        if "weld" in self._weakest:
            yield from self._longer_weld()
        if not self._anchors:
            return
        first = self._anchors[0].mounting
        yield from self._new_holes(first)
        yield from self._stronger_ring(first)
        yield from self._rated_rings()
        yield from self._stronger_bolts(first)
        thread = thread_for(first, self._rig, self._catalog)
        if thread is None:
            return
        yield from self._washers(first, thread)
        yield from self._plates(first, thread)
        yield from self._bars(thread)
        yield from self._through_member(first, thread)
        yield from self._larger_holes(thread)

    def _backed(self, what: str, to: str, words: str, thread: Thread, backing: Texts, buy: str, *more: str) -> Change:
        """A change of the backing, and to bolts where there were screws."""
        names = {each.mounting.name for each in self._anchors}
        grade = GRADE[thread.series]

        def edit(texts: Texts) -> None:
            for name in names:
                old = texts["mountings"][name]
                fasteners = {key: value for key, value in old["fasteners"].items() if key not in ("length", "holes")}
                if fasteners["kind"] != "bolt":
                    fasteners |= {"kind": "bolt", "size": thread.name, "grade": grade}
                refasten(texts, name, words, {**old, "fasteners": fasteners, "backing": dict(backing)})
            settle(texts, *_OF_BACKING)

        was = _backing_words(self._anchors[0].mounting)
        bolts = sum(len(each.mounting.positions) for each in self._anchors)
        screwed = isinstance(self._anchors[0].mounting.fasteners, Screws)
        needed = f"{bolts} bolts {thread.name} {grade} with lock nuts" if screwed else ""
        return Change(
            frozenset({"mounting", *more}), what, was, to, "new steel", "; ".join(filter(None, (buy, needed))), edit
        )

    def _washers(self, mounting: MountingSetting, thread: Thread) -> Iterator[Change]:
        row, seat = largest_washer(thread, self._catalog), mounting.seat
        if row is None or (
            seat is not None and (mounting.plate is not None or getattr(seat, "outside", 0.0) >= row.outside - SAME)
        ):
            return
        outside, thickness = self._length(row.outside), self._length(row.thickness_least)
        backing = {"kind": "washers", "outside": outside, "thickness": thickness, "steel": row.steel}
        count = sum(len(each.mounting.positions) for each in self._anchors)
        yield self._backed(
            "bolts on large washers",
            f"washers {outside} across",
            "on large washers",
            thread,
            backing,
            f"{count} washers {outside} across, {thickness} thick",
        )

    def _plates(self, mounting: MountingSetting, thread: Thread) -> Iterator[Change]:
        if mounting.plate is not None and not (self._weakest & _A_PLATE_HELPS or self._plate_too_small(mounting)):
            return
        row, sides = plate_sides(mounting, thread, self._catalog)
        steel, had, tried = STEEL[thread.series], mounting.plate, set()
        bolts = Bolts(thread, self._catalog.bolt_grade(GRADE[thread.series]), None, None)
        for wide, thick in _plate_choices(sides, row.thicknesses):
            plate = PlateSeat((wide, wide), thick, self._catalog.steel(steel))
            shorter = [side for side in sides if side <= wide + SAME]
            along = longest_with_room(self._anchors, wide, shorter, bolts, plate, self._rig.basis.shelf)
            no_more = had is not None and along is not None and max(along - had.size[0], wide - had.size[1]) < SAME
            if along is None or (along, wide) in tried or (no_more and had is not None and thick <= had.thickness):
                continue
            tried.add((along, wide))
            size = [self._length(along), self._length(wide)]
            backing = {"kind": "plate", "size": size, "thickness": self._length(thick), "steel": steel}
            to = f"{_number(size[0])} × {size[1]}, {self._length(thick)} thick"
            buy = f"{len(self._anchors)} plates {to}, {steel} or mild steel"
            yield self._backed("a steel plate under all bolts", to, f"plate {to}", thread, backing, buy)

    def _plate_too_small(self, mounting: MountingSetting) -> bool:
        """Whether a hole stands too near to its plate's edge."""
        sheets = [each for each in self._result.sheet.mountings if each.name == mounting.name]
        return any(not d.kept and "plate's edge" in d.what for each in sheets for d in each.distances)

    def _bars(self, thread: Thread) -> Iterator[Change]:
        no_bars = self._rig.floor.lengthwise or self._rig.floor.timber is not None
        if no_bars or any(each.overhang for each in self._anchors):
            return
        row: PlateStock = next(row for row in self._catalog.plates.values() if row.series == thread.series)
        steel = STEEL[thread.series]
        for wide, thick in ((0.05, 0.009), (0.05, 0.012), (0.1, 0.012)):
            width = min((side for side in row.sides if side >= wide), default=row.sides[-1])
            thickness = min((each for each in row.thicknesses if each >= thick), default=row.thicknesses[-1])
            backing = {
                "kind": "bridge",
                "width": self._length(width),
                "thickness": self._length(thickness),
                "steel": steel,
                "bars": "2",
            }
            to = f"2 bars {backing['width']} wide, {backing['thickness']} thick"
            if self._anchors[0].mounting.backing == Bars(width, thickness, self._catalog.steel(steel), 2):
                continue
            reach = max(each.behind + each.ahead for each in self._anchors) + self._rig.floor.member.width
            buy = (
                f"{2 * len(self._anchors)} bars {backing['width']} × {backing['thickness']}, each {self._length(reach)}"
            )
            yield self._backed("bridge bars under two cross-members", to, "bridge bars", thread, backing, buy)

    def _through_member(self, mounting: MountingSetting, thread: Thread) -> Iterator[Change]:
        """Rings moved so that one row of bolts goes through the nearest cross-member."""
        if isinstance(mounting.backing, ThroughSteel) or not self._movable:
            return
        washer = washer_under_member(thread, self._rig.floor, self._catalog)
        ends = sorted({round(float(x), 9) for x in mounting.positions[:, 0]})
        if washer is None or len(ends) < 2:
            return
        backing: Texts = {
            "kind": "member",
            "through": "rear",
            "washer": {
                "outside": self._length(washer.outside),
                "thickness": self._length(washer.thickness_least),
                "steel": washer.steel,
            },
        }
        if self._rig.floor.member.shape == "tube":
            backing["walls"] = "both"
        forward = {each.name for each in self._anchors if self._beyond_on_rear_bolts(each, ends[0])}
        moved = {
            each.name: self._nearest_line(each) - ends[-1 if each.name in forward else 0] for each in self._anchors
        }
        base = self._backed(
            "rings moved so that a row of their bolts goes through a cross-member",
            "through the cross-member",
            "through the cross-member",
            thread,
            backing,
            f"{sum(len(each.mounting.positions) for each in self._anchors)} washers "
            f"{backing['washer']['outside']} across",
            "place",
        )

        def edit(texts: Texts) -> None:
            base.edit(texts)
            for name, x in moved.items():
                texts["anchors"][name]["at"][0] = self._length(x)
            self._by_their_front_bolts(texts, forward)

        yield Change(base.slots, base.what, base.was, base.to, base.effort, base.buy, edit)

    def _beyond_on_rear_bolts(self, anchor: AnchorSetting, rear: float) -> bool:
        """Whether a ring whose rear bolts go through the last member would stand beyond it, and did not before."""
        last = self._rig.floor.lines[-1]
        return self._nearest_line(anchor) - rear > last + SAME and anchor.at[0] <= last + SAME

    def _by_their_front_bolts(self, texts: Texts, anchors: set[str]) -> None:
        """Bolt these `anchors` through the member by their front bolts, in a mounting of its own."""
        mountings, turned = texts["mountings"], dict[str, str]()
        for name in sorted(anchors):
            was = texts["anchors"][name]["mounting"]
            if was not in turned:
                turned[was] = free_name(f"{was[:180]}, front bolts", mountings)
                mountings[turned[was]] = {
                    **mountings[was],
                    "backing": {**mountings[was]["backing"], "through": "front"},
                }
            texts["anchors"][name]["mounting"] = turned[was]

    def _new_holes(self, mounting: MountingSetting) -> Iterator[Change]:
        if isinstance(mounting.fasteners, Screws) and mounting.fasteners.reused:
            yield self._of_mountings(
                "drive the ring's screws into new holes",
                "old holes",
                "new holes beside them",
                "an afternoon",
                "",
                lambda old: old["fasteners"].update(holes="new"),
                settles="screw holes",
            )

    def _stronger_ring(self, mounting: MountingSetting) -> Iterator[Change]:
        if mounting.ring_rated is None or "ring" not in self._weakest:
            return
        told = format_quantity(2 * mounting.ring_rated, self._units.force, "force", 3).replace(",", "")

        def stronger(old: Texts) -> None:
            old["ring"].update(rated=told)
            old["ring"].pop("breaking", None)

        was = format_quantity(mounting.ring_rated, self._units.force, "force", 3)
        buy = f"{len(self._anchors)} rings rated {told}, base and holes alike"
        yield self._of_mountings("stronger rings", was, told, "an afternoon", buy, stronger, RINGS, "ring mark")

    def _rated_rings(self) -> Iterator[Change]:
        """Rings that somebody rated, for no less than the straps on them; what is unrated cannot pass."""
        strapped = [self._rig.anchors[name] for name in self._rig.strapped_in_order]
        unrated = [each for each in strapped if not each.mounting.ring_is_rated]
        pulls = [sum(strap.rated for strap in self._straps_on(each.name)) for each in unrated]
        if not unrated or min(pulls) <= 0:
            return
        told = format_quantity(max(pulls), self._units.force, "force", 4).replace(",", "")

        def rated(texts: Texts) -> None:
            for name in {texts["anchors"][each.base]["mounting"] for each in unrated}:
                texts["mountings"][name]["ring"].update(rated=told)
            settle(texts, "ring mark")

        yield Change(
            frozenset({RINGS}),
            "rated rings, or the rating of those found",
            "nobody rated the rings",
            f"a working load limit of {told} by the maker's word",
            "an afternoon",
            f"{len(unrated)} rings marked with a working load limit of {told}, base and holes alike",
            rated,
        )

    def _straps_on(self, anchor: str) -> list[StrapSetting]:
        return [each for each in self._rig.straps.values() if anchor in [name for name, _ in each.legs]]

    def _stronger_bolts(self, mounting: MountingSetting) -> Iterator[Change]:
        if not isinstance(mounting.fasteners, Bolts) or "bolt_steel" not in self._weakest:
            return
        grade, count = _STRONGER_GRADE[mounting.fasteners.thread.series], len(mounting.positions) * len(self._anchors)
        yield self._of_mountings(
            "bolts of a better grade",
            mounting.fasteners.grade.name,
            grade,
            "minutes with a wrench",
            f"{count} bolts {mounting.fasteners.size} {grade}",
            lambda old: old["fasteners"].update(grade=grade),
            "grade",
            "fastener grade",
        )

    def _longer_weld(self) -> Iterator[Change]:
        """A weld all round each base on its steel, which is taken as no wider than a cross-member."""
        face, step = self._rig.floor.member.width, _WELD_STEP[self._rig.units]
        longer, now = {}, []
        for mounting in self._weak_mountings:
            weld, (along, across) = mounting.fasteners, mounting.covers
            seat = (along, min(across, face)) if self._rig.floor.lengthwise else (min(along, face), across)
            run = int(2 * sum(seat) / step + 1e-6) * step
            if isinstance(weld, Weld) and weld.run is not None and run > weld.run + SAME:
                longer[mounting.name] = self._length(run)
                now.append(self._length(weld.run))
        if not longer:
            return

        def edit(texts: Texts) -> None:
            for name, told in longer.items():
                texts["mountings"][name]["backing"].update(length=told)

        to = f"{' and '.join(dict.fromkeys(longer.values()))} in all, all round their bases on the steel"
        was = " and ".join(dict.fromkeys(now))
        yield Change(frozenset({"mounting"}), "a longer weld of the rings", was, to, "an afternoon", "", edit)

    def _larger_holes(self, thread: Thread) -> Iterator[Change]:
        """Rings that take the next thicker bolts; of use where there are bolts, or with another backing."""
        series = [row for row in self._catalog.threads.values() if row.series == thread.series]
        thicker_ones = [row for row in series if row.D > thread.D + SAME]
        if not thicker_ones:
            return
        size = min(thicker_ones, key=lambda row: row.D).name

        def thicker(old: Texts) -> None:
            if old["fasteners"]["kind"] == "bolt":
                old["fasteners"].update(size=size)

        bolts = sum(len(each.mounting.positions) for each in self._anchors)
        rings = f"{len(self._anchors)} rings with holes for {size}, rated no less than those now"
        buy = f"{rings}; {bolts} bolts {size} {GRADE[thread.series]}"
        what = "rings with larger holes, for thicker bolts"
        yield self._of_mountings(what, thread.name, size, "new steel", buy, thicker, "thread", "fastener size")

    def _of_mountings(
        self,
        what: str,
        was: str,
        to: str,
        effort: Effort,
        buy: str,
        change: Callable[[Texts], None],
        slot: str = "mounting",
        settles: str = "",
    ) -> Change:
        """A change within the mountings, whatever they are called by then."""
        anchors = [each.base for each in self._anchors]

        def edit(texts: Texts) -> None:
            for name in {texts["anchors"][anchor]["mounting"] for anchor in anchors}:
                change(texts["mountings"][name])
            settle(texts, settles)

        return Change(frozenset({slot}), what, was, to, effort, buy, edit)


def _plate_choices(sides: list[float], thicknesses: tuple[float, ...]) -> Iterator[tuple[float, float]]:
    """A plate just larger than the bolts, a middling and a large one, each in a thickness that goes with it."""
    for share, thickness in ((0.0, 0.0045), (0.5, 0.006), (1.0, 0.0062)):
        if sides:
            side = sides[round(share * (len(sides) - 1))]
            yield side, min((each for each in thicknesses if each >= thickness), default=thicknesses[-1])


def refasten(texts: Texts, name: str, words: str, mounting: Texts) -> None:
    """Give all anchors of mounting `name` another one, called by what it is."""
    mountings = texts["mountings"]
    new = free_name(f"{name[:120]}: {words[:60]}", mountings)
    if len(mountings) >= MOST_MOUNTINGS:
        del mountings[name]
    mountings[new] = mounting
    for anchor in texts["anchors"].values():
        if anchor.get("mounting") == name:
            anchor["mounting"] = new


def _number(quantity: str) -> str:
    return quantity.rsplit(" ", 1)[0]


def _backing_words(mounting: MountingSetting) -> str:
    kinds = {
        "none": "screws",
        "washers": "bolts on washers",
        "plate": "a smaller or thinner plate",
        "bridge": "other bars",
        "member": "through the cross-member",
        "frame": "welded to the frame",
    }
    return kinds[mounting.backing.kind]
