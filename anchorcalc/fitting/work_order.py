"""The fitting sheet in words: order of work, how to measure, what to mind."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from anchorcalc.rig.parts import Bars, Bolts, ThroughSteel, Weld
from anchorcalc.units import both_lengths

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from anchorcalc.result.fitting import Weights
    from anchorcalc.rig.floor import FloorSetting
    from anchorcalc.rig.parts import AnchorSetting
    from anchorcalc.rig.rig import Rig

NUT: Final = "lock nut with a nylon insert, new; all-metal where it gets hotter than 250 °F (120 °C)"
NUT_WHY: Final = (
    "Wood dries and creeps and the clamp goes, so the nut must stay by its own drag. "
    "A plain nut on a split washer shakes loose."
)

CUT_OUT: Final = (
    "As tight as it goes: measure the ring's pan in hand, cut to it, and file until it drops in.",
    "Drill the corners round before sawing, and seal the cut edges.",
)

_WELDED: Final = (
    "A weld on a trailer's frame is work for a welder who is qualified for it: ask the maker of frame and ring first.",
    "Take the deck away where the heat would reach it; unplug what is electric, and look for lines behind the steel.",
    "Grind to bright steel, weld as the ring's maker says, let it cool by itself, look for cracks, and paint.",
)

_CAUTIONS: Final = (
    "Look from below before drilling: wiring, brake lines, tanks, main rails and gussets are not all in the file.",
    "Measure the ring, plate and members in hand; trust them before the drawing.",
    "A lock nut's own drag can be more than the torque given: feel it before the nut touches, and add it.",
    "A lock nut that turns onto the thread by hand is worn out; one or more full threads must show beyond the nut.",
    "No strength is counted from the clamp: wood shrinks. Look at the nuts after the first trip and each season.",
)


def cautions(stops: Iterable[str]) -> tuple[str, ...]:
    """What to mind; `stops` are what is seen where nuts are tight enough."""
    seen = (f"Stop when {stop}, whatever the wrench says (common practice, no source)." for stop in stops)
    return (*_CAUTIONS, *seen)


def order_of_work(setting: AnchorSetting, shank_hole: float | None, *, washers: bool) -> tuple[str, ...]:
    """Steps for one mounting, in their order.

    `shank_hole` is the wider pilot hole of a screw, if it has one; `washers` is whether any are bought for its nuts.
    """
    return tuple(_order(setting, shank_hole, washers=washers))


def _order(setting: AnchorSetting, shank_hole: float | None, *, washers: bool) -> Iterator[str]:
    mounting = setting.mounting
    backing, bolted = mounting.backing, isinstance(mounting.fasteners, Bolts)
    if isinstance(mounting.fasteners, Weld):
        yield from _WELDED
        yield from _weld_counted(mounting.fasteners)
        return
    yield "Mark the place from the rear edge and the centreline; lay the ring there and look at it from below."
    yield "Look at every screw that holds the deck down there: what is rusted or missing is replaced first."
    if setting.floor.of_planks:
        yield "Shift it a little where a hole would come near the edge of a plank: planks split there."
    if isinstance(backing, ThroughSteel):
        yield "Drill a thin hole first and find it from below: the bolts must meet the middle of the member's face."
    elif bolted:
        below = "washers" if mounting.plate is None else "plate"
        yield f"Drill a thin hole first and find it from below: {below} and nuts must clear the members."
    if setting.mounting.cut_out is not None:
        yield "Cut the opening; try the ring in it before drilling for its fasteners."
    if not bolted:
        yield from _screw_steps(setting, shank_hole)
        return
    yield "Drill through the ring's own holes, square to the deck, with a scrap board held against the underside."
    yield "Seal the holes and cut edges against water."
    if mounting.plate is not None:
        yield "Drill the plate to the same holes, break its edges, paint it; it lies flat against the wood."
    if isinstance(backing, Bars):
        yield "Put the bars up against both cross-members; a spacer tube on each bolt keeps the deck from bowing down."
    if isinstance(backing, ThroughSteel) and setting.floor.member.shape == "tube" and backing.walls == 1:
        yield "The nuts sit inside the tube: cut a hand hole beside the member's end, not below the bolts."
    if flange_slopes(setting):
        yield (
            "A channel's flange slopes: put a bevelled washer under each nut, or the bolt bends; one narrow enough to "
            "lie flat beside the web."
        )
    elif isinstance(backing, ThroughSteel) and backing.walls == 1 and setting.floor.timber is None:
        part = "washer" if washers else "nut"
        yield f"Feel from below whether each {part} lies flat: the corner beside the web is rounded out."
    yield "Bolts from above, heads on the ring's base; where its holes are too wide, a plain washer under each."
    nuts = "Washers and lock nuts from below" if washers else "Lock nuts from below, straight on the steel"
    yield f"{nuts}; bring all nuts up by hand, then in turn crosswise."
    yield "Hold the head, turn the nut. Mark nut and bolt with paint, so that a turn shows."


def _weld_counted(weld: Weld) -> Iterator[str]:
    """What the welder has to know, where it was given."""
    if weld.leg is not None and weld.run is not None:
        leg, run = both_lengths(weld.leg), both_lengths(weld.run)
        yield f"The check counts legs of {leg} and {run} of weld in all, on two opposite sides first; no less will do."


def flange_slopes(setting: AnchorSetting) -> bool:
    """Whether nuts bear on the flange of a rolled channel, which grows thicker towards its web."""
    return isinstance(setting.mounting.backing, ThroughSteel) and setting.floor.member.shape == "channel"


def _screw_steps(setting: AnchorSetting, shank_hole: float | None) -> Iterator[str]:
    if setting.mounting.screws.reused:
        yield "Do not drive screws into old holes: nothing of them can be counted. Shift the ring or use bolts."
    yield "Drill pilot holes through the ring's own holes, to the depth of the screw."
    if shank_hole is not None:
        yield "Open the upper part to the shank's size, or the screw jacks the layers apart."
    yield "Drive slowly until the head sits, and not a turn more: an over-driven screw has stripped its wood."


def counts_on(floor: FloorSetting) -> tuple[str, ...]:
    """What of the deck the strengths rest on, which has to be there before anything is fitted."""
    return tuple(_counts_on(floor))


def _counts_on(floor: FloorSetting) -> Iterator[str]:
    layers = (
        f"layer {each.number} {both_lengths(each.thickness)} of {each.panel.name}, {each.condition.name}"
        for each in floor.layers
    )
    yield f"the deck: {'; '.join(layers)}"
    screws = f"{floor.hold_down.name} every {both_lengths(floor.hold_down_spacing)} into every cross-member"
    if floor.of_planks:
        screws = f"{floor.hold_down.name}, {floor.screws_per_crossing} from each plank into every cross-member"
    heads = f", heads on layer {floor.heads_on}" if len(floor.layers) > 1 else ""
    found = {"sound": "none missing, none rusted by a ring", None: "taken as sound: nobody looked"}
    condition = floor.hold_down_condition
    yield f"its screws: {screws}{heads}; {found.get(condition, condition)}"


def measuring(floor: FloorSetting) -> tuple[str, ...]:
    """How to mark out the deck."""
    return tuple(_measuring(floor))


def _measuring(floor: FloorSetting) -> Iterator[str]:
    yield "Forward is from the deck's rear edge; left and right are from the centreline, looking forward."
    yield (
        "Find the middle of the width at the rear edge and again at the front edge, and snap a line between the two: "
        "that is the centreline. Square off from it, not from a side."
    )
    if floor.width_front == floor.width:
        yield "Measure the width in front as well and both diagonals: a trailer is seldom square."
        give = "give the lesser width" if floor.lengthwise else "give width_front"
        yield f"If the widths differ, {give} and make this sheet again."
    else:
        yield (
            "The sides are not parallel: the distances to the left and right side hold at that anchor only. Measure "
            "each square to the centreline: left anchors to the left side, right anchors to the right side."
        )
    yield "Check each anchor against the side it is nearest to before drilling."


def warnings(rig: Rig, weights: Weights) -> tuple[str, ...]:
    """What is wrong or not known, though no hole meets it."""
    return tuple(_warnings(rig, weights))


def _warnings(rig: Rig, weights: Weights) -> Iterator[str]:
    for number, layer in enumerate(rig.floor.layers, start=1):
        if not layer.bears_load:
            yield f"Layer {number} is {layer.condition.name}: replace it before fitting anything."
    trailer = rig.trailer
    if trailer is None:
        yield "The trailer's weight and rating are not given: what it may still carry is not known."
        return
    if weights.balance is None:
        yield "Give axle_at and hitch_at to see how much of the load the hitch carries."
    elif weights.balance.word != "within":
        yield _HITCH[weights.balance.word]
    if weights.axle is not None and not weights.axle.balance_known:
        yield "The axle load is taken with nothing on the hitch, since axle and hitch are not placed."
    if trailer.axle_rating is None:
        yield "The axles' rating is not given: look for it on the trailer's plate."


_HITCH: Final = {
    "too light": "Too little weight on the hitch: the trailer may sway. Move the load forward.",
    "too heavy": "Too much weight on the hitch: move the load rearward, and look at the tow vehicle's rating.",
    "may be within": "Weigh the hitch of the empty trailer: the loaded share may or may not be in the common range.",
}
