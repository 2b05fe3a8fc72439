"""The load path of an anchor: which links its mounting has, and what each holds along a pull."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from anchorcalc.links.bolted import bearing_links, bolt_links
from anchorcalc.links.common import Basis, FloatArray, Pull, Question, nothing
from anchorcalc.links.deck import deck_links
from anchorcalc.links.screwed import screw_links
from anchorcalc.links.steel import bridge_links, deck_member_bending, member_links
from anchorcalc.mechanics.bearing import plate_reach
from anchorcalc.mechanics.statics import fastener_shares
from anchorcalc.result import AnchorStrength, Link
from anchorcalc.scenario.model import Bridge, ThroughMember

if TYPE_CHECKING:
    from anchorcalc.rig.settings import AnchorSetting


def anchor_strength(anchor: AnchorSetting, direction: FloatArray, basis: Basis) -> AnchorStrength:
    """What `anchor` holds along `direction` (3,), by every link of its mounting, weakest first.

    Of links that hold alike the one nearer to the strap comes first: it is the cause.
    """
    d = np.asarray(direction, dtype=float)
    links = sorted(_links(anchor, d, basis), key=lambda link: (link.working, link.breaking))
    return AnchorStrength(anchor.name, anchor.mounting, (float(d[0]), float(d[1]), float(d[2])), tuple(links))


def _links(anchor: AnchorSetting, direction: FloatArray, basis: Basis) -> list[Link]:
    try:
        pull = pull_of(anchor, direction, basis)
    except ValueError as error:  # a base that nothing keeps from turning over holds nothing
        return [nothing("base turns over", str(error), "statics of the base on its fasteners")]
    whole = Question(anchor, pull, basis)
    links = _given_ring(whole)
    if anchor.fastener_kind != "bolt":
        return [*links, *screw_links(whole), *deck_links(whole), deck_member_bending(whole)]
    links += bolt_links(whole)
    if isinstance(anchor.backing, Bridge):
        return links + bridge_links(whole)
    if not isinstance(anchor.backing, ThroughMember):
        return [*links, *bearing_links(whole), *deck_links(whole), deck_member_bending(whole)]
    in_steel = bolts_in_member(anchor)
    links += member_links(Question(anchor, _only(pull, in_steel), basis))
    if not in_steel.all():
        on_wood = Question(anchor, _only(pull, ~in_steel), basis)
        links += [*bearing_links(on_wood), *deck_links(on_wood)]
    return links


def pull_of(anchor: AnchorSetting, direction: FloatArray, basis: Basis) -> Pull:
    """What a pull of one newton along `direction` (3,) does to the fasteners.

    Shares of the fasteners: one-sided statics of the base for tension, equal shares sideways.

    Loose bolt holes do not bear all at once, so a bolt's steel must stand more than its even share. The wood
    gives until all bear, and its strength is counted evenly, as NDS 12.1.3 allows with holes of that clearance.
    """
    edges = _pressing_points(anchor, basis)
    shares = fastener_shares(anchor.positions, edges, direction, anchor.pull_height)[0]
    count = float(len(anchor.positions))
    loose = anchor.fastener_kind == "bolt"
    first = max(count * basis.factor("bolts_bearing_sideways"), 1.0) if loose else count
    most = _most_sideways(anchor.positions, direction)
    normal = (float(direction[0]), float(direction[1]), float(direction[2]))
    return Pull(normal, shares, anchor.positions, most, most * count / first)


def _most_sideways(positions: FloatArray, direction: FloatArray) -> float:
    """Greatest in-plane force on a fastener per newton of pull on the ring in the middle of the base [-].

    Even shares, and what stops the base from turning where the pattern's middle is not under the ring, by the
    distance from that middle (elastic method for eccentric groups, AISC Manual part 7).
    """
    way, about = np.asarray(direction[:2], dtype=float), positions - positions.mean(axis=0)
    spread = float(np.square(about).sum())
    forces = np.broadcast_to(way / len(positions), positions.shape)
    if spread > 0:
        x, y = -positions.mean(axis=0)
        moment = x * way[1] - y * way[0]
        forces = forces + moment * np.stack([-about[:, 1], about[:, 0]], axis=1) / spread
    return float(np.hypot(*forces.T).max())


def _pressing_points(anchor: AnchorSetting, basis: Basis) -> FloatArray:
    """Where the base presses on the deck when the pull pries, (4, 2) [m].

    A rigid base on rigid ground would press at its very edge; a thin one on wood presses nearer to its
    fasteners, which loads them more. Half-way between the two is taken (judgement), and never farther out than
    the base can reach by its own bending: c = t √(f_y / 3 f) of EN 1993-1-8 6.2.5.
    """
    outermost, wood = np.abs(anchor.positions).max(axis=0), anchor.layers[0].panel.f_c90_k
    c = plate_reach(anchor.base_thickness, basis.factor("ring_base_yield"), wood)
    reach = np.minimum((outermost + np.array(anchor.base) / 2) / 2, outermost + c)
    return np.array([[x, y] for x in (reach[0], -reach[0]) for y in (reach[1], -reach[1])])


def _only(pull: Pull, which: np.ndarray[tuple[int], np.dtype[np.bool_]]) -> Pull:
    """The pull as some of its fasteners see it."""
    return Pull(pull.direction, pull.tensions[which], pull.resisting[which], pull.sideways, pull.sideways_first)


def bolts_in_member(anchor: AnchorSetting) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Which bolts go through the cross-member, (n,)."""
    assert isinstance(anchor.backing, ThroughMember)  # noqa: S101 - asked of member mountings only
    x = anchor.positions[:, 0]
    if anchor.backing.through == "front":
        return np.asarray(x >= x.max() - 1e-6)
    if anchor.backing.through == "rear":
        return np.asarray(x <= x.min() + 1e-6)
    return np.ones(len(x), dtype=bool)


def _given_ring(question: Question) -> list[Link]:
    """The ring by its maker's rating; none when nobody rated it."""
    anchor = question.anchor
    multiple = question.basis.rules.breaking_over_rated["hardware"]
    rated = anchor.ring_rated
    if rated is None:
        return []
    breaking = anchor.ring_breaking if anchor.ring_breaking is not None else rated * multiple
    return [
        Link(
            name="ring",
            breaking=breaking,
            working=rated,
            governed_by="the maker's rating",
            formula="as rated",
            source=f"the maker; breaking {multiple:g} times the rating where only that is given",
        )
    ]
