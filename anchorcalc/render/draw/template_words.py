"""The words of the template: what is drilled how wide, which line is what, how the plate is held from below."""

from __future__ import annotations

from typing import TYPE_CHECKING

from anchorcalc.render import figures
from anchorcalc.render.draw.svg import harmless
from anchorcalc.render.fitting_words import layers_cut
from anchorcalc.rig.parts import Bars, PlateSeat, ThroughSteel, WasherSeat
from anchorcalc.units import in_both, length, length_number

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from anchorcalc.render.draw.shapes import Layer
    from anchorcalc.render.fitting_words import Refusal
    from anchorcalc.result.fitting import MountingSheet
    from anchorcalc.rig.parts import AnchorSetting, MountingSetting
    from anchorcalc.rig.rig import Rig
    from anchorcalc.units import UnitSystem

MEASURE_BARS = "Print at 100 %, no fitting to the page. Measure the bars before drilling: 4 in and 100 mm, both ways."
CAUTIONS = (
    "Hold the ring itself to the marks before drilling; where they differ, drill from its own holes, one by one.",
    "Look under the deck first: cross-members, wiring, brake lines, tanks. Drill slowly, with wood clamped below.",
    "An estimate stands behind this drawing, not a rating: the maker's drawing of the ring comes first.",
)
ON_EVERY_SHEET = "Look under the deck before drilling. An estimate, not a rating."


def drill_words(mounting: MountingSetting, sheet: MountingSheet, units: UnitSystem) -> str:
    """What to drill, for every sheet."""
    count = f"{len(mounting.positions)} hole{'s' if len(mounting.positions) > 1 else ''}"
    if sheet.holes is not None:
        drill, most = (length(size, units) for size in (sheet.holes.drill, sheet.holes.most))
        return f"{count}: drill {drill}, never wider than {most}."
    if sheet.screws is None or sheet.screws.pilot is None:
        return f"{count}: pilot holes by trial in scrap of the same panel; drawn as 3 mm."
    screws = sheet.screws
    shank = ""
    if screws.shank is not None and screws.shank_depth > 0:
        shank = f", the upper {length(screws.shank_depth, units)} to {length(screws.shank, units)}"
    return f"{count}: pilot {length(screws.pilot or 0.0, units)}{shank}, for {screws.name}."


def key_of(
    mounting: MountingSetting, sheet: MountingSheet, layers: set[Layer], units: UnitSystem
) -> Iterator[tuple[Layer, str]]:
    """Which line is what, with sizes in the user's own units; only of what is drawn."""
    hole = "hole to drill" if sheet.holes is not None else "pilot hole"
    said: list[tuple[Layer, str]] = [("hole", hole), ("base", f"ring's base {_size(mounting.base, units)}")]
    if mounting.cut_out is not None:
        how = "cut as tight as it goes" if mounting.cut_layers is None else layers_cut(mounting.cut_layers)
        said.append(("cut-out", f"opening {_size(mounting.cut_out, units)}, {how}"))
    if isinstance(mounting.seat, PlateSeat):
        said.append(("backing", f"plate under the deck {_size(mounting.seat.size, units)}"))
    if isinstance(mounting.seat, WasherSeat):
        said.append(("backing", f"washer under the deck {length(mounting.seat.outside, units)}"))
    if isinstance(mounting.backing, Bars):
        said.append(("bar under", f"edge of the bar {length(mounting.backing.width, units)} wide, below the members"))
    said += [
        ("member", "edge of a cross-member, for those named"),
        ("centreline", "middles and rows of holes"),
    ]
    return (entry for entry in said if entry[0] in layers)


def _size(size: tuple[float, float], units: UnitSystem) -> str:
    """Length along by width across, its unit once."""
    return f"{length_number(size[0], units)} × {length(size[1], units)}"


def notes(
    rig: Rig, mounting: MountingSetting, sheet: MountingSheet, anchors: Sequence[AnchorSetting], refused: Refusal | None
) -> Iterator[str]:
    """Sentences for the last sheet."""
    units = figures.units_of(rig)
    if refused:
        yield f"{refused.word}: {refused.why}"
    yield drill_words(mounting, sheet, units)
    yield f"Middles of the holes from the middle of the base: {'; '.join(_hole_words(mounting, units))}."
    yield f"The ring's base: {_along_across(mounting.base, units)}."
    backing, seat = mounting.backing, mounting.seat
    if mounting.cut_out is not None:
        only = f", {layers_cut(mounting.cut_layers)}" if mounting.cut_layers is not None else ""
        yield f"The opening for the ring: {_along_across(mounting.cut_out, units)}{only}; cut as tight as it goes."
    if isinstance(seat, PlateSeat):
        yield f"The plate: {_along_across(seat.size, units)}, {in_both(seat.thickness, units)} thick."
        yield from _plate_from_below(mounting)
    if isinstance(seat, WasherSeat):
        yield f"Washers under the nuts: {in_both(seat.outside, units)} outside, {in_both(seat.thickness, units)} thick."
    if isinstance(backing, Bars):
        yield (
            f"The bars, {in_both(backing.width, units)} wide and {in_both(backing.thickness, units)} thick, lie below "
            "the cross-members and run on beyond this sheet: hold them up and mark them through the drilled holes."
        )
    if isinstance(backing, ThroughSteel):
        yield "Some holes go through the cross-member: find its edges from below and mark them on this sheet first."
    for anchor in anchors:
        yield f"{harmless(anchor.name, 48)}: middle of the base {_from_nearest(anchor, units)}."


def _plate_from_below(mounting: MountingSetting) -> Iterator[str]:
    """How a plate is turned so that its holes meet those of the deck."""
    places = {(round(float(x), 5), round(float(y), 5)) for x, y in mounting.positions}
    if places == {(x, -y) for x, y in places} and places == {(-x, y) for x, y in places}:
        return
    yield (
        "The holes of the plate are not alike on all sides. Drill it with this drawing on its TOP face, the one that "
        "will lie against the wood, and write TOP and FORWARD on it. Seen from below, left and right change places: "
        "hold it up with TOP against the wood and FORWARD to the hitch, and try all bolts before any nut."
    )


def _hole_words(mounting: MountingSetting, units: UnitSystem) -> Iterator[str]:
    for number, (x, y) in enumerate(mounting.positions, start=1):
        along, across = in_both(abs(x), units), in_both(abs(y), units)
        yield f"{number}: {along} {'forward' if x >= 0 else 'back'}, {across} {'left' if y >= 0 else 'right'}"


def _from_nearest(anchor: AnchorSetting, units: UnitSystem) -> str:
    off = min((line - anchor.at[anchor.floor.axis] for line in anchor.floor.lines), key=abs)
    if abs(off) < 1e-6:
        return "over the middle of a cross-member"
    ways = ("right of", "left of") if anchor.floor.lengthwise else ("behind", "ahead of")
    way = ways[off < 0]
    return f"{in_both(abs(off), units)} {way} the middle of the nearest cross-member"


def _along_across(size: tuple[float, float], units: UnitSystem) -> str:
    return f"{in_both(size[0], units)} along, {in_both(size[1], units)} across"
