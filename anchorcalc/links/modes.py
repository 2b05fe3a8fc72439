"""The ways an anchor can let go: one row each. Load path, advice, search, `explain` and JSON all read this list."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, Literal

from msgspec import Struct
from msgspec.structs import replace

from anchorcalc.links import beam, bolted, deck, frame, kept, planks, ring, screwed, steel
from anchorcalc.links.common import Question, Strength
from anchorcalc.result.strength import Link
from anchorcalc.rig.parts import AnchorSetting, Bare, Bars, Bearing, Bolts, Screws, ThroughSteel

Part = Literal["strap", "ring", "fastener", "wood", "deck", "member"]
"""What gives: the part of the load path a mode belongs to."""
Fasteners = Literal["all", "on wood", "in steel"]
Words = str | Callable[[AnchorSetting], str]
"""Words of a mode, or what makes them of an anchor where they hang on what is there."""


def in_words(words: Words, anchor: AnchorSetting) -> str:
    """Words as they fit `anchor`."""
    return words if isinstance(words, str) else words(anchor)


def _plate_or(plate: str, other: str) -> Words:
    return lambda anchor: other if anchor.mounting.plate is None else plate


def _planks_or(planks: str, other: str) -> Words:
    return lambda anchor: planks if anchor.floor.of_planks else other


class Mode(Struct, frozen=True):
    """One way to let go.

    `fasteners` are those that the question is asked of: all, those that bear on the wood, those in a cross-member.
    """

    key: str
    name: Words
    part: Part
    advice: Words
    applies: Callable[[Question], bool]
    strength: Callable[[Question], Strength]
    fasteners: Fasteners = "all"

    def link(self, question: Question) -> Link | None:
        """What the anchor holds before this gives; None where it cannot."""
        asked = _asked(question, self.fasteners)
        if asked is None or not self.applies(asked):
            return None
        strength = self.strength(asked)
        return Link(
            key=self.key,
            name=in_words(self.name, question.anchor),
            breaking=strength.breaking,
            working=strength.working,
            governed_by=strength.governed_by,
            formula=strength.formula,
            source=strength.source,
            figures=strength.figures,
            remark=strength.remark,
        )


def _asked(question: Question, fasteners: Fasteners) -> Question | None:
    """The question as some of its fasteners see it; None where there are none of them."""
    mounting = question.anchor.mounting
    if fasteners == "all":
        return question
    if isinstance(mounting.backing, ThroughSteel):
        which = mounting.in_member if fasteners == "in steel" else ~mounting.in_member
        return replace(question, pull=question.pull.of(which)) if which.any() else None
    on_wood = isinstance(mounting.backing, Bare | Bearing)
    return question if on_wood and fasteners == "on wood" else None


# --- when a mode applies --------------------------------------------------------------------------------------


def _bolted(question: Question) -> bool:
    return isinstance(question.anchor.mounting.fasteners, Bolts)


def _bolted_in_wood(question: Question) -> bool:
    return _bolted(question) and _sound(question)


def _screwed(question: Question) -> bool:
    screws = question.anchor.mounting.fasteners
    return isinstance(screws, Screws) and not screws.reused and _sound(question)


def _reused(question: Question) -> bool:
    screws = question.anchor.mounting.fasteners
    return isinstance(screws, Screws) and screws.reused


def _sound(question: Question) -> bool:
    return bool(question.anchor.floor.sound_layers)


def _gone(question: Question) -> bool:
    """Whether no wood is left: not even steel below holds a ring sideways then, whose bolts stand free above it."""
    return not _sound(question) and not frame.on_frame(question)


def _plated(question: Question) -> bool:
    return question.anchor.mounting.plate is not None and _sound(question)


def _meets_member(question: Question) -> bool:
    return steel.bolts_off_the_member(question) is None


def _misses_member(question: Question) -> bool:
    return not _meets_member(question)


def _meets_steel(question: Question) -> bool:
    return question.anchor.floor.timber is None and _meets_member(question)


def _meets_timber(question: Question) -> bool:
    return question.anchor.floor.timber is not None and _meets_member(question)


def _meets_leg(question: Question) -> bool:
    return _meets_steel(question) and question.anchor.floor.member.shape not in ("tube", "hat")


def _meets_tube(question: Question) -> bool:
    return _meets_member(question) and question.anchor.floor.member.shape == "tube"


def _meets_crown(question: Question) -> bool:
    return _meets_member(question) and question.anchor.floor.member.shape == "hat"


def _through_both_walls(question: Question) -> bool:
    backing = question.anchor.mounting.backing
    return _meets_tube(question) and isinstance(backing, ThroughSteel) and backing.walls == 2


def _no_bay(question: Question) -> bool:
    return isinstance(question.anchor.mounting.backing, Bars) and question.anchor.overhang


def _bars_missed(question: Question) -> bool:
    bars = isinstance(question.anchor.mounting.backing, Bars)
    return bars and not question.anchor.overhang and steel.bolts_off_the_bars(question.anchor) is not None


def _bars_met(question: Question) -> bool:
    bars = isinstance(question.anchor.mounting.backing, Bars)
    return bars and not question.anchor.overhang and steel.bolts_off_the_bars(question.anchor) is None


def _on_deck(question: Question) -> bool:
    return isinstance(question.anchor.mounting.backing, Bare | Bearing)


def _pushes_deck(question: Question) -> bool:
    """Whether steel holds the ring upward while the deck alone keeps it from sliding."""
    mounting = question.anchor.mounting
    return (isinstance(mounting.backing, Bars) or mounting.all_in_member) and _sound(question)


def _lifts_steel(question: Question) -> bool:
    return question.anchor.floor.timber is None and (_on_deck(question) or _bars_met(question))


def _lifts_timber(question: Question) -> bool:
    return question.anchor.floor.timber is not None and _on_deck(question)


def _splits_timber(question: Question) -> bool:
    """Whether the deck's screws lift a member of wood; not where all bolts go through it."""
    return _loads_timber(question) and not question.anchor.mounting.all_in_member


def _loads_timber(question: Question) -> bool:
    through = _asked(question, "in steel")
    return _lifts_timber(question) or (through is not None and _meets_timber(through))


def _pushes_planks(question: Question) -> bool:
    through = frame.on_frame(question) or question.anchor.mounting.all_in_member
    return question.anchor.floor.of_planks and not through


def _welded(question: Question) -> bool:
    on_rail = frame.on_frame(question) and not frame.on_member(question)
    return question.anchor.floor.joint is not None and not on_rail


# --- the list -------------------------------------------------------------------------------------------------

_NEW_HOLES = "Screws in old holes count for nothing: drill new holes beside them, or use bolts with a steel plate."
_BOLT_IT = "Screws in wood are what gives: use bolts with a steel plate under the deck."
_TO_STEEL = "or take the pull past the deck through a cross-member or with a bridge bar"
_DECK_SLIDES = "The boards would slide on the cross-members: more screws into the members, or longer sheets."
_MEMBER_BENDS = (
    "The cross-member bends: put the anchor nearer to a main rail (of a lengthwise member a beam it rests on), or say "
    "where those are if it was assumed."
)


def _deck_gives(anchor: AnchorSetting) -> str:
    """Turning is for panels that bend the weak way; planks only span, and what is square cannot be turned so.

    Close to a member a turned panel can hold less, for it is bent the other way there; one of two gains nothing.
    """
    turn = any(
        not (layer.strong_way or layer.section.planks) and layer.section.S_par > layer.section.S_perp
        for layer in anchor.floor.laid.sound_layers
    )
    grain = "turn the face grain of all layers square to the cross-members (mostly better), " if turn else ""
    return f"The deck itself is what gives: add a layer, {grain}{_TO_STEEL}."


MODES: Final[tuple[Mode, ...]] = (
    Mode(
        "ring", "ring", "ring", "The ring's own rating is the limit: a ring with a higher rating.",
        lambda question: question.anchor.mounting.ring_is_rated, ring.ring,
    ),
    Mode(
        "base_bends", "base of the ring bends", "ring",
        "The ring's base bends between its fasteners: a thicker base, or fasteners on both sides close to the ring.",
        lambda question: not frame.on_frame(question) and ring.is_strip(question), ring.base_bends,
    ),
    Mode(
        "weld", "weld of the ring to the frame breaks", "fastener",
        "The ring's weld is what gives: a longer or thicker weld, or a ring with a wider base.",
        frame.has_weld, frame.weld,
    ),
    Mode(
        "off_frame", "no frame under the ring", "member",
        "A ring can only be welded where steel is: move it over a cross-member or a main rail.",
        frame.on_nothing, frame.off_the_frame,
    ),
    Mode(
        "frame_wall", "wall of the member under the ring gives way", "member",
        "The member's wall gives way under the ring: a wider base, or a plate between them that reaches its edges.",
        frame.on_member, frame.wall,
    ),
    Mode("old_holes", "screws in old holes", "fastener", _NEW_HOLES, _reused, screwed.in_old_holes),
    Mode("withdrawal", "screw pulls out of the wood", "fastener", _BOLT_IT, _screwed, screwed.withdrawal),
    Mode(
        "screw_steel", "screw breaks", "fastener", "The screws themselves break: thicker or more of them, or bolts.",
        _screwed, screwed.screw_steel,
    ),
    Mode(
        "screw_sideways", "screws give way sideways", "fastener",
        "The screws give way sideways: more or thicker screws, or bolts with a steel plate.",
        _screwed, screwed.sideways,
    ),
    Mode("screw_slant", "screw gives way pulled at a slant", "fastener", _BOLT_IT, _screwed, screwed.slanted),
    Mode(
        "bolt_steel", "bolt breaks", "fastener", "Larger bolts or a better grade help here.",
        _bolted, bolted.bolt_steel,
    ),
    Mode(
        "bolt_sideways", "bolts give way sideways", "wood",
        "The bolts crush the wood sideways: more or larger bolts, or a thicker deck.",
        _bolted_in_wood, bolted.bolt_sideways,
    ),
    Mode(
        "plank_splits", "plank splits along its fasteners", "wood",
        f"The plank splits: a sheet of plywood over or under the planks, wider planks, {_TO_STEEL}.",
        _pushes_planks, planks.plank_splits,
    ),
    Mode(
        "no_bay", "bridge bar has no second member", "member",
        "Move the ring to where a cross-member lies on both sides of it, or choose another mounting.",
        _no_bay, steel.no_second_member,
    ),
    Mode(
        "off_bars", "bolts miss the bridge bar", "member",
        "The bolts must meet the bars between two cross-members: wider, two, or elsewhere.",
        _bars_missed, steel.off_the_bars,
    ),
    Mode(
        "bridge_bar", "bridge bar bends", "member",
        lambda anchor: (
            "Thicker or wider bars would hold more."
            if isinstance(anchor.mounting.backing, Bars) and anchor.mounting.backing.count == 2
            else "A thicker or wider bar, or two bars, would hold more."
        ),
        _bars_met, steel.bridge_bar,
    ),
    Mode(
        "nut_through_bar", "nut pulls through the bar", "member",
        "The nuts pull through the bar: a thicker bar, or larger bolts.",
        _bars_met, steel.nut_through_bar,
    ),
    Mode(
        "crush", _plate_or("wood crushes under the plate", "wood crushes under the nuts"), "wood",
        _plate_or(
            "More bearing under the nuts helps: a thicker plate if it is thin, or more bolts.",
            "More bearing under the nuts helps: thicker and larger washers, or a steel plate.",
        ),
        _bolted_in_wood, bolted.crushing, "on wood",
    ),
    Mode(
        "pull_through",
        _plate_or("plate pulls through the deck at a nut", "washer pulls through the deck"), "wood",
        _plate_or(
            "The plate goes through the deck at its nuts: a thicker one.",
            "The washers go through the deck: a steel plate under all bolts spreads the pull.",
        ),
        _bolted_in_wood, bolted.pull_through, "on wood",
    ),
    Mode(
        "punch_out", "the group punches out its piece of deck", "wood",
        "The nuts take their piece of deck along: a larger pattern, another layer, or a way to steel.",
        _bolted_in_wood, bolted.punch_out, "on wood",
    ),
    Mode(
        "nut_through_plate", "nut pulls through the plate", "fastener",
        "The nuts pull through the plate: a thicker plate, or a washer under each nut.",
        _plated, bolted.nut_through_plate, "on wood",
    ),
    Mode(
        "plate_bends", "plate under the deck bends", "fastener",
        "The plate itself bends at its nuts: a thicker one.",
        _plated, deck.plate_bends, "on wood",
    ),
    Mode(
        "deck_gone", "deck carries nothing", "deck",
        "Nothing holds in this deck: replace the decayed or delaminated layers first.",
        _gone, deck.deck_gone,
    ),
    Mode(
        "panel_bending",
        _planks_or("planks break between the cross-members", "deck panel breaks between the cross-members"), "deck",
        _deck_gives,
        _sound, deck.panel_bending, "on wood",
    ),
    Mode(
        "rolling_shear", _planks_or("planks shear", "plies of the deck shear (rolling shear)"), "deck",
        _planks_or(
            f"The planks shear: add a layer, {_TO_STEEL}.", f"The plies of the deck shear: add a layer, {_TO_STEEL}."
        ),
        _sound, deck.rolling_shear, "on wood",
    ),
    Mode(
        "hold_down", "hold-down screws let the deck go", "deck",
        "The deck would come off its cross-members: more hold-down screws near the anchor, or "
        "the pull taken past the deck to them.",
        _sound, deck.hold_down, "on wood",
    ),
    Mode(
        "deck_slides", "deck slides off its screws", "deck",
        _DECK_SLIDES,
        _sound, deck.deck_slides, "on wood",
    ),
    Mode(
        "deck_pushed", "deck slides off its screws", "deck",
        _DECK_SLIDES,
        _pushes_deck, deck.deck_pushed,
    ),
    Mode(
        "member_kept", "cross-member bends along the trailer", "member",
        "The deck's screws and the cross-member itself keep it from bending along the trailer: more screws along it, "
        "or the ring over a main rail.",
        frame.between_rails, kept.member_kept,
    ),
    Mode(
        "off_member", "bolts miss the cross-member", "member",
        "Move the anchor so that its bolts meet a cross-member, or choose another mounting.",
        _misses_member, steel.off_the_member, "in steel",
    ),
    Mode(
        "pull_over", "nut pulls through the cross-member", "member",
        "The nuts pull through the cross-member's wall or leg: a wide washer or a plate under each nut.",
        _meets_steel, steel.pull_over, "in steel",
    ),
    Mode(
        "leg", "leg of the cross-member bends", "member",
        "The leg of the cross-member bends: a plate washer that spans the leg, or a bridge bar.",
        _meets_leg, steel.leg_bending, "in steel",
    ),
    Mode(
        "tube_wall", "wall of the tube folds", "member",
        "The tube's wall folds: take the bolts through both walls with a plate under the far one.",
        _meets_tube, steel.tube_wall, "in steel",
    ),
    Mode(
        "crown", "crown of the cross-member folds", "member",
        "The hat's crown folds in: wider washers or a plate under it, or a mounting that loads two members.",
        _meets_crown, steel.crown, "in steel",
    ),
    Mode(
        "tube_bearing", "bolts tear the tube's walls sideways", "member",
        "The bolts tear the tube sideways: more or thicker bolts.",
        _through_both_walls, steel.tube_crushed_by_bolts, "in steel",
    ),
    Mode(
        "own_member", "cross-member bends", "member",
        _MEMBER_BENDS,
        _meets_steel, beam.own_member_bending, "in steel",
    ),
    Mode(
        "under_ring", "cross-member bends", "member",
        _MEMBER_BENDS,
        frame.on_member, beam.own_member_bending,
    ),
    Mode(
        "member_beside", "cross-member bends", "member",
        _MEMBER_BENDS,
        _lifts_steel, beam.deck_member_bending,
    ),
    Mode(
        "timber_crush", "cross-member crushes under the bolts", "member",
        "The wood of the cross-member crushes: wider and thicker washers under it.",
        _meets_timber, bolted.timber_crushed, "in steel",
    ),
    Mode(
        "timber_own", "cross-member of wood breaks", "member", _MEMBER_BENDS,
        _meets_timber, beam.own_member_bending, "in steel",
    ),
    Mode(
        "timber_beside", "cross-member of wood breaks", "member", _MEMBER_BENDS,
        _lifts_timber, beam.deck_member_bending,
    ),
    Mode(
        "timber_shear", "cross-member of wood shears along its grain", "member",
        "The cross-member shears at what carries it: a broader or deeper one, or the anchor elsewhere.",
        _loads_timber, beam.timber_shear,
    ),
    Mode(
        "timber_splits", "cross-member of wood splits at the deck's screws", "member",
        "The deck's screws split the cross-member: longer screws, or bolts through it with washers below.",
        _splits_timber, beam.timber_splits,
    ),
    Mode(
        "member_joint", "weld of the cross-member to the rail breaks", "member",
        "The cross-member would come off the main rail: a longer or thicker weld there.",
        _welded, beam.member_joint,
    ),
)  # fmt: skip


TURNS_OVER: Final = Mode(
    "turns_over",
    "base turns over",
    "ring",
    "The ring's base tips off its fasteners: spread them on both sides of the ring's middle, or a larger base.",
    lambda _: True,
    lambda _: Strength(0.0, 0.0, "cannot be counted", "0", "statics of the base on its fasteners"),
)

_ADVICE: Final[dict[str, Words]] = {
    **{mode.key: mode.advice for mode in (*MODES, TURNS_OVER)},
    "strap": "The strap is the limit: a strap with a higher rating, or more straps.",
    "tie_point": "The tie point on the load is the limit: another point, or a strap round the axle or wheels.",
}


def advice(key: str, anchor: AnchorSetting) -> str:
    """What would help at `anchor`, by the key of what gives there."""
    return in_words(_ADVICE[key], anchor)
