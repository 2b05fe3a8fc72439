"""The deck as a thin plate: what the closed rules of `links.deck` are held against.

The deck is laid over its cross-members with its screws where they stand, and lifted by the anchor's patch.
The same strengths as in the closed rules then say at what pull it bends, shears or comes off.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from anchorcalc.links.common import FloatArray, both_levels, force, number, per_newton
from anchorcalc.links.deck import (
    Strip,
    grain_ways,
    hold_down_screw,
    lifted,
    moments_of,
    others_on_the_screws,
    strip_of,
)
from anchorcalc.links.modes import BY_KEY
from anchorcalc.mechanics import panels
from anchorcalc.mechanics.hermite import PlateError, grid_lines
from anchorcalc.mechanics.plate_contact import DeckResponse, Members, Screws, solve_deck
from anchorcalc.mechanics.plates import Plate, PlateSolution, orthotropic_rigidities
from anchorcalc.mechanics.screws import low_estimate
from anchorcalc.result.strength import Link

if TYPE_CHECKING:
    from collections.abc import Sequence

    from anchorcalc.links.common import Question
    from anchorcalc.rig.parts import AnchorSetting, LayerSetting

# Shear modulus in the panel's plane over its modulus along the grain: 90 000 of 1.5e6 psi, Plywood Design
# Specification (from memory). A low one spreads the lift less.
_G_OVER_E = 0.06
_NU = 0.05  # strain across per strain along; plywood's crossed plies leave little (judgement)
# Wood under a cross-member's face, and a screw with its head in the panel: some 2 mm at 3 kN (judgement).
# Softer screws share a lift more evenly, so a stiff one is the cautious guess.
_MEMBER_STIFFNESS = 8e8  # [N/m²]
_SCREW_STIFFNESS = 2e6  # [N/m]

_SPANS_ASIDE = 1.5  # deck taken in on either side of the patch, in spans
_CELLS_IN_A_SPAN = 6
_EDGE_ROOM = 0.005  # a screw nearer to the end of the sheet holds nothing [m]

Span = tuple[float, float]


class _Bending(NamedTuple):
    """Moments a unit lift makes, averaged as in `greatest_moments` [N·m/m per N]."""

    along: float
    across: float


@dataclass(frozen=True)
class LiftedDeck:
    """A deck over its cross-members under a lift of one newton, screws in one of two places."""

    response: DeckResponse
    bending: _Bending
    shear: float  # greatest beside a cross-member, averaged as the moments are [1/m]

    @property
    def greatest_screw_pull(self) -> float:
        """Pull of the most loaded hold-down screw per newton of lift [-]."""
        return float(self.response.screw_pulls.max())


def deck_links_by_plates(question: Question) -> list[Link]:
    """Bending, rolling shear and hold-down of the lifted deck, from the deck as a thin plate.

    Where the hold-down screws stand beside the anchor is not known: the worse of one in line with it and one
    half a spacing off counts.

    Raises
    ------
    PlateError
        The deck cannot be laid out, or its balance was not found.
    """
    ways = [_links_by_plates(way) for way in grain_ways(question)]
    return [min(pair, key=lambda link: (link.working, link.breaking)) for pair in zip(*ways, strict=True)]


def _links_by_plates(question: Question) -> list[Link]:
    strip = strip_of(question)
    if not strip.layers:
        return []
    if strip.ratio <= 0:
        raise PlateError("planks side by side share nothing: they are no plate, and the closed rule stands alone")
    decks = [lifted_deck(question, strip, shift) for shift in (0.0, 0.5)]
    return [_bending(question, strip, decks), _rolling_shear(question, strip, decks), _hold_down(question, decks)]


def lifted_deck(question: Question, strip: Strip, shift: float) -> LiftedDeck:
    """The deck of `question` under a lift of one newton, screws `shift` spacings off the anchor's line."""
    layout = _lay_out(question, strip, shift)
    plate = _plate(layout, strip.layers)
    response = solve_deck(plate, layout.members, layout.screws, plate.load(1.0, layout.patch_x, layout.patch_y))
    if not response.equilibrium.converged:
        raise PlateError("the balance of the deck on its cross-members and screws was not found")
    t = sum(layer.thickness for layer in strip.layers)
    sections = [place for place in layout.members.x if place in layout.beside]
    bending = greatest_moments(response.solution, layout.patch_x, layout.patch_y, t, sections)
    return LiftedDeck(response, bending, _greatest_shear(response.solution, layout, t))


def greatest_moments(
    solution: PlateSolution, patch_x: Span, patch_y: Span, thickness: float, members: Sequence[float]
) -> _Bending:
    """Greatest moments along and across a loaded deck [N·m/m].

    An elastic plate has a peak right under a small patch that wood smooths out: moments are averaged over the
    patch and one thickness of the deck on either side, across their own direction.

    Parameters
    ----------
    patch_x, patch_y : where the load stands [m]
    thickness : of the deck, all layers that carry [m]
    members : x of the cross-members beside the patch, where the deck is bent the other way [m]
    """
    lines_x, lines_y = solution.plate.x.knots, solution.plate.y.knots
    wide_x, wide_y = _widened(patch_x, thickness, lines_x), _widened(patch_y, thickness, lines_y)
    at_x = [*np.linspace(*patch_x, 5), *members]
    along = max(abs(float(solution.mean_moments(float(x), wide_y).M_x)) for x in at_x)
    across = max(abs(float(solution.mean_moments(wide_x, float(y)).M_y)) for y in np.linspace(*patch_y, 5))
    return _Bending(along, across)


def _widened(patch: Span, by: float, lines: FloatArray) -> Span:
    return max(patch[0] - by, float(lines[0])), min(patch[1] + by, float(lines[-1]))


@dataclass(frozen=True)
class _Layout:
    """Where things lie round the anchor, x from the deck's rear edge, y from the anchor [m]."""

    x: Span
    y: Span
    patch_x: Span
    patch_y: Span
    members: Members
    beside: tuple[float, ...]  # the members next to the patch
    face: float  # width of a member's face
    screws: Screws
    hinges: tuple[float, ...]  # sheet joints that lie on a member


def _lay_out(question: Question, strip: Strip, shift: float) -> _Layout:
    anchor, floor = question.anchor, question.anchor.floor
    middle = anchor.at[0] + float(question.pull.resisting[:, 0].mean())
    patch_x = (middle - strip.patch_x / 2, middle + strip.patch_x / 2)
    patch_y = (-strip.patch_y / 2, strip.patch_y / 2)
    span = strip.span
    reach = _SPANS_ASIDE * span * max(strip.ratio, 1.0) ** 0.25
    near, far = anchor.side_room, 2 * abs(anchor.at[1]) + anchor.side_room
    left, right = (near, far) if anchor.at[1] > 0 else (far, near)
    joints = [joint - anchor.at[1] for layer in strip.layers for joint in layer.joints_along]
    y = (
        max([-right, patch_y[0] - reach, *(joint for joint in joints if joint <= patch_y[0])]),
        min([left, patch_y[1] + reach, *(joint for joint in joints if joint >= patch_y[1])]),
    )
    patch_y = (max(patch_y[0], y[0]), min(patch_y[1], y[1]))
    x, hinges = _ends_along(anchor, strip.layers, patch_x, span)
    patch_x = (max(patch_x[0], x[0]), min(patch_x[1], x[1]))
    members = [line for line in floor.lines if x[0] - 1e-9 <= line <= x[1] + 1e-9]
    count = int(np.ceil(max(-y[0], y[1]) / anchor.floor.hold_down_spacing)) + 1
    rows = (np.arange(-count, count + 1) + shift) * anchor.floor.hold_down_spacing
    screws = [(line, float(row)) for line in members for row in rows if y[0] + _EDGE_ROOM < row < y[1] - _EDGE_ROOM]
    behind = [line for line in members if line <= middle][-1:]
    ahead = [line for line in members if line > middle][:1]
    return _Layout(
        x, y, patch_x, patch_y, Members(members, _MEMBER_STIFFNESS), (*behind, *ahead), floor.member.width,
        Screws(screws, _SCREW_STIFFNESS), hinges,
    )  # fmt: skip


def _ends_along(
    anchor: AnchorSetting, layers: list[LayerSetting], patch_x: Span, span: float
) -> tuple[Span, tuple[float, ...]]:
    """How far the deck is taken in along the trailer, and the sheet joints on members between.

    A joint in any layer counts for all. One on a member is a hinge; one clear of members ends the deck.
    Beyond the last member nothing is taken in but the patch, since where the deck ends is of no help.
    """
    lines = np.array(anchor.floor.lines)
    half = anchor.floor.member.width / 2
    first, last = min(lines[0], patch_x[0]), max(lines[-1], patch_x[1])
    behind = lines[lines <= patch_x[0]][-2:]
    ahead = lines[lines >= patch_x[1]][:2]
    start = float(behind[0]) if behind.size else first
    end = float(ahead[-1]) if ahead.size else last
    start, end = max(start, first), min(end, last)
    hinges = []
    for joint in sorted({joint for layer in layers for joint in layer.joints_across}):
        nearest = float(lines[np.argmin(np.abs(lines - joint))])
        if abs(nearest - joint) <= half:
            hinges.append(nearest)
        elif joint <= patch_x[0]:
            start = max(start, joint)
        elif joint >= patch_x[1]:
            end = min(end, joint)
    return (start, end), tuple(sorted({hinge for hinge in hinges if start < hinge < end}))


def _plate(layout: _Layout, layers: list[LayerSetting]) -> Plate:
    turned = [_turned(layer) for layer in layers]
    rigidities = orthotropic_rigidities(
        [layer.panel.E * layer.spanning[0] for layer in layers],
        [layer.panel.E * layer.spanning[0] for layer in turned],
        [_G_OVER_E * layer.panel.E for layer in layers],
        [layer.thickness for layer in layers],
        _NU,
    )
    widest = float(np.min(np.diff(layout.members.x), initial=layout.x[1] - layout.x[0])) / _CELLS_IN_A_SPAN
    x = _lines(layout.x, layout.patch_x, widest, layout.members.x)
    y = _lines(layout.y, layout.patch_y, widest, [row for _, row in layout.screws.places])
    return Plate(x, y, rigidities, joints_x=layout.hinges)


def _lines(side: Span, patch: Span, widest: float, through: Sequence[float]) -> FloatArray:
    """Grid lines from end to end through `through`, the patch's edges and its middle [m]."""
    start, end = side
    places = [place - start for place in (*through, *patch, (patch[0] + patch[1]) / 2) if start < place < end]
    return start + grid_lines(end - start, widest, places)


def _turned(layer: LayerSetting) -> LayerSetting:
    """The layer seen from the other direction."""
    return replace(layer, strong_way=not layer.strong_way)


def _greatest_shear(solution: PlateSolution, layout: _Layout, thickness: float) -> float:
    """Greatest shear at the face of a member beside the patch, averaged as the moments are [1/m per newton].

    Taken half-way over the gap between face and patch, since third derivatives are coarse where a load begins;
    at the face itself where the patch reaches over it. A patch that ends on the face crosses no gap there.
    """
    wide = _widened(layout.patch_y, thickness, solution.plate.y.knots)
    start, end = layout.patch_x
    greatest = 0.0
    for member in layout.beside:
        ahead = member <= (start + end) / 2  # the patch lies ahead of the member
        face = member + layout.face / 2 if ahead else member - layout.face / 2
        if (end <= face) if ahead else (start >= face):
            continue
        section = (face + max(face, start)) / 2 if ahead else (face + min(face, end)) / 2
        greatest = max(greatest, abs(solution.mean_shears(section, wide)[0]))
    return greatest


_DECK_SOURCE = (
    "thin orthotropic plate (Timoshenko & Woinowsky-Krieger, art. 85) on members that push and screws that pull; "
    "strengths as in the closed rule; averaging and stiffness of screws are our judgement"
)
_BY_PLATE = "computed as a thin plate"


def _bending(question: Question, strip: Strip, decks: list[LiftedDeck]) -> Link:
    share = lifted(question)
    crosswise = replace(strip, layers=[_turned(layer) for layer in strip.layers])
    strengths = [
        min(min(along / deck.bending.along, across / deck.bending.across) for deck in decks)
        for along, across in zip(moments_of(question, strip), moments_of(question, crosswise), strict=True)
    ]
    strength = both_levels(
        question,
        per_newton(strengths[0], share),
        per_newton(strengths[1], share),
        code="APA panel bending F_b S",
        formula="greatest moment over patch and one thickness each side ≤ m_R, both directions",
        source=_DECK_SOURCE,
        figures=(
            number("m_x", max(deck.bending.along for deck in decks), "moment along the trailer per newton of lift"),
            number("m_y", max(deck.bending.across for deck in decks), "moment across per newton of lift"),
            number("lift", share, "of the pull lifts the deck"),
        ),
        remark=_BY_PLATE,
    )
    return BY_KEY["panel_bending"].found(strength)


def _rolling_shear(question: Question, strip: Strip, decks: list[LiftedDeck]) -> Link:
    share, duration = lifted(question), question.basis.rules.duration_factor

    def flow(stresses: list[float]) -> float:
        each = [f * x.condition.rolling_shear * x.spanning[2] for f, x in zip(stresses, strip.layers, strict=True)]
        return float(panels.shared_resistance(each, strip.stiffness))

    low = [float(low_estimate(x.panel.rolling_shear_mean, x.panel.rolling_shear_cov)) for x in strip.layers]
    allowable = [layer.panel.F_s * duration for layer in strip.layers]
    greatest = max(deck.shear for deck in decks) * share
    strength = both_levels(
        question,
        per_newton(flow(low), greatest),
        per_newton(flow(allowable), greatest),
        code="APA rolling shear F_s (Ib/Q)",
        formula="greatest shear beside a cross-member ≤ f_s (Ib/Q)",
        source=_DECK_SOURCE,
        figures=(number("v", greatest, "shear per newton of pull, 1/m"),),
        remark=_BY_PLATE,
    )
    return BY_KEY["rolling_shear"].found(strength)


def _hold_down(question: Question, decks: list[LiftedDeck]) -> Link:
    low, allowable, how = hold_down_screw(question)
    strip = strip_of(question)
    # Anchors of other bays add to the screws of a shared member; a member takes half of the own lift or more.
    crowd = 1 + 2 * max(others_on_the_screws(question.anchor, strip.patch_y + 2 * strip.span))
    greatest = max(deck.greatest_screw_pull for deck in decks) * lifted(question) * crowd
    strength = both_levels(
        question,
        per_newton(low, greatest),
        per_newton(allowable, greatest),
        code="NDS head pull-through or AISI pull-out",
        formula="greatest pull of a screw ≤ least of head pull-through, pull-out of steel, screw steel",
        source=_DECK_SOURCE,
        figures=(
            force("screw", low, f"low estimate of one screw: {how}"),
            number("share", greatest, "of the pull on the most loaded screw"),
        ),
        remark=_BY_PLATE,
    )
    return BY_KEY["hold_down"].found(strength)
