"""Changes of straps and of what they are hooked to, each as an edit of the scenario's own texts."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from anchorcalc.scenario.tyres import runs_through
from anchorcalc.sizing.drafts import Change, Drafts, Texts, free_name, settle
from anchorcalc.sizing.usual import SAME
from anchorcalc.units import format_quantity, unit_worth

HOOKS: Final = "hooks"
"""Slot of what a strap is hooked to on the load."""
_LESS_TENSION: Final = (0.5, 0.25)  # shares of the hand tension
LIGHTLY: Final = 889.6  # the least that is offered, 200 lbf: what `start` writes for a light pull [N]; judgement


class StrapDrafts(Drafts):
    """Changes of straps and hooks."""

    def straps(self) -> Iterator[Change]:
        """What is done with straps and hooks: minutes each."""
        yield from self._tension()
        yield from self._crossed()
        yield from self._stronger_straps()
        yield from self._hooks()

    def _tension(self) -> Iterator[Change]:
        most = max(strap.hand_tension for strap in self._rig.straps.values())
        if not any(case.straps and case.verdict != "pass" for case in self._cases):
            return
        step = (10.0 if self._rig.units == "us" else 0.05) * unit_worth(self._units.force, "force")
        wanted = {LIGHTLY, *(share * most for share in _LESS_TENSION)}
        for tension in sorted((each for each in wanted if LIGHTLY <= each < 0.9 * most), reverse=True):
            rounded = max(math.floor(tension / step), math.ceil(LIGHTLY / step)) * step
            told = format_quantity(rounded, self._units.force, "force", 4)
            loose = list(
                dict.fromkeys(strap.tie_down for strap in self._rig.straps.values() if strap.hand_tension > tension)
            )

            def edit(texts: Texts, told: str = told, loose: list[str] = loose) -> None:
                for name in loose:
                    texts["straps"][name]["hand_tension"] = told.replace(",", "")
                settle(texts, "hand tension")

            was = format_quantity(most, self._units.force, "force", 3)
            yield Change(
                frozenset({"tension"}),
                "tighten the ratchets less",
                was,
                f"no more than {told}",
                "minutes with a wrench",
                "",
                edit,
            )

    def _crossed(self) -> Iterator[Change]:
        pairs = list(self._pairs())
        if not pairs:
            return

        def edit(texts: Texts) -> None:
            for one, other in pairs:
                straps = texts["straps"]
                straps[one]["to"], straps[other]["to"] = straps[other]["to"], straps[one]["to"]
            settle(texts, "crossed")

        yield Change(
            frozenset({"run of the straps"}),
            "cross the straps of each end",
            "each on its own side",
            "to the hook on the other side",
            "minutes with a wrench",
            "",
            edit,
        )

    def _pairs(self) -> Iterator[tuple[str, str]]:
        """Straps whose rings and hooks mirror each other."""
        names = self._hooked()
        for i, one in enumerate(names):
            for other in names[i + 1 :]:
                if self._mirrored(one, other):
                    yield one, other

    def _hooked(self) -> list[str]:
        """Straps that run straight to a tie point."""
        return [name for name, strap in self._content["straps"].items() if "to" in strap]

    def _mirrored(self, one: str, other: str) -> bool:
        first, second = self._rig.straps[one], self._rig.straps[other]
        at, there = self._rig.anchors[first.anchor].at, self._rig.anchors[second.anchor].at
        hook, hook_there = (self._rig.load.tie_points[strap.tie_point].at for strap in (first, second))
        rings = abs(at[0] - there[0]) < SAME and abs(at[1] + there[1]) < SAME and abs(at[1]) > SAME
        hooks = abs(hook[0] - hook_there[0]) < SAME and abs(hook[1] + hook_there[1]) < SAME
        return rings and hooks and abs(hook[1]) > SAME and hook[1] * at[1] > 0

    def _stronger_straps(self) -> Iterator[Change]:
        if "strap" not in self._weakest:
            return
        rated = max(strap.rated for strap in self._rig.straps.values())
        told = format_quantity(2 * (rated or 1.0e4), self._units.force, "force", 3).replace(",", "")

        def edit(texts: Texts) -> None:
            for strap in texts["straps"].values():
                strap["rated"] = told
                strap.pop("breaking", None)
            settle(texts, "strap mark")

        was = format_quantity(rated, self._units.force, "force", 3)
        buy = f"{len(self._rig.tie_downs)} straps marked with a working load limit of {told}"
        yield Change(frozenset({"strap"}), "stronger straps", was, told, "minutes with a wrench", buy, edit)

    def _hooks(self) -> Iterator[Change]:
        points = [part.removeprefix("tie point ") for part in self._rig.unrated if part.startswith("tie point ")]
        if not points:
            return
        least = min(strap.rated for strap in self._rig.straps.values() if not set(points).isdisjoint(strap.course))
        if least <= 0:
            return
        told = format_quantity(least, self._units.force, "force", 4).replace(",", "")
        slings, to = (
            ("soft loops", "round the fork's lower clamp or the frame, never round a lever or a hose")
            if self._rig.load.kind == "motorcycle"
            else ("axle straps", "round the axle or the frame, never round a rod or a hose")
        )

        def edit(texts: Texts) -> None:
            for name in points:
                texts["load"]["tie_points"][name]["rated"] = told
            settle(texts, "hook mark")

        yield Change(
            frozenset({HOOKS}),
            f"rated {slings} at {', '.join(points)}",
            "nobody rated the hooks",
            f"rated {told}, {to}",
            "minutes with a wrench",
            f"{len(points)} {slings} rated {told}",
            edit,
        )

    def more_straps(self) -> Iterator[Change]:
        """A second ring and strap beside each, one bay outward or inward, to the same hook."""
        # Each once, in an order that is the same in every run: a file that is written twice is the same file.
        pairs = dict.fromkeys(name for pair in self._pairs() for name in pair) or dict.fromkeys(self._hooked())
        if not (pairs and self._movable) or 2 * len(self._rig.straps) > 12:  # more than any small trailer has rings for
            return
        moved: dict[str, tuple[str, str]] = {}
        for name in pairs:
            x = self._place_beside(name)
            if x is None:
                return
            moved[name] = self._rig.straps[name].anchor, self._length(x)

        def edit(texts: Texts) -> None:
            for name, (anchor, x) in moved.items():
                second = free_name(f"{anchor}, second", texts["anchors"])
                was = texts["anchors"][anchor]
                texts["anchors"][second] = {**was, "at": [x, was["at"][1]]}
                texts["straps"][free_name(f"{name}, second", texts["straps"])] = {
                    **texts["straps"][name],
                    "anchor": second,
                }

        count = len(self._content["straps"])
        yield Change(
            frozenset({"more straps"}),
            "another strap beside each, on a ring of its own",
            f"{count} straps",
            f"{count + len(moved)} straps",
            "new steel",
            f"{len(moved)} rings with all that fastens them, {len(moved)} straps",
            edit,
            "nothing passes",
        )

    def _place_beside(self, name: str) -> float | None:
        """Where along the deck a second ring for a strap may stand: between members, its strap clear of the tyres."""
        strap, lines, wheels = self._rig.straps[name], self._rig.floor.lines, self._rig.load.wheels.values()
        at, hook = self._rig.anchors[strap.anchor].at, self._rig.load.tie_points[strap.tie_point].at
        outward = math.copysign(self._rig.floor.spacing, at[0] - hook[0])
        for x in (at[0] + outward, at[0] - outward):
            if lines[0] < x < lines[-1] and not runs_through((x, at[1]), hook[:2], wheels):
                return x
        return None
