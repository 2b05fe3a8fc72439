"""The floor round an anchor that is pulled: which boards, members and screws answer, and how much each is asked for.

One numerical model (`mechanics.floor`) stands behind every link of the deck. It is laid about the anchor, mirrored so
that it stands in the rear half and on the left: equal bays and mirrored anchors are one floor, factorised once.
Forces are per newton of pull on the asked ring; rings near by pull along.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import product
from typing import TYPE_CHECKING, Literal, NamedTuple

import numpy as np
from msgspec.structs import replace
from numpy.typing import NDArray

from anchorcalc.links.common import DeckAsked, LiftedDeck, Neighbour, Pull
from anchorcalc.links.piece import Layout, Piece, Places, Reach, Rows, Span, floor_answers, mirror_at, parted
from anchorcalc.links.pull import pull_of
from anchorcalc.links.seat import seat_disc
from anchorcalc.mechanics.floor import BackingPlate, Bed, Board, Couple, FloorResponse, Patch, disc
from anchorcalc.mechanics.hermite import PlateError
from anchorcalc.mechanics.screws import bite
from anchorcalc.rig.parts import Bare, Bars, Bearing, Frame, ThroughSteel, at_hand, near

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from anchorcalc.catalog.rows import Screw
    from anchorcalc.links.common import FloatArray, Question
    from anchorcalc.rig.floor import FloorSetting
    from anchorcalc.rig.parts import AnchorSetting, PlateSeat

_NU_STEEL = 0.3
_SLACK = 1e-6  # of all pulls together
_ROUNDED = 1e-9  # [m]
_FAR = 1.0  # spacings of the members between two mountings: beyond that it is all the same how one lifts [judgement]


def lifted_decks(question: Question) -> tuple[LiftedDeck, ...]:
    """The deck of `question` as it is laid, every way it may be where nobody knows how the grain runs."""
    if question.decks:
        return tuple(question.decks)
    question.decks.extend(map(_lifted, _ways_laid(question)))
    return tuple(question.decks)


def _ways_laid(question: Question) -> Iterator[Question]:
    """The question on every deck that it may be asked of."""
    for laid in question.anchor.floor.ways_laid(question.anchor.mounting.cut_layers or 0):
        yield replace(question, anchor=replace(question.anchor, floor=laid))


def _lifted(question: Question) -> LiftedDeck:
    if not lifted_layers(question.anchor):
        return LiftedDeck((), None, "the screws' thread bites no sound layer")
    lift = _Lift(question)
    piece = lift.piece
    if piece.why_not:
        return LiftedDeck(piece.layers, None, piece.why_not)
    try:
        answers = lift.answers()
    except PlateError as error:
        return LiftedDeck(piece.layers, None, str(error))
    responses = [(layout, response) for layout, ways in answers for response in ways]
    moments = [response.greatest_moments for _, response in responses]
    shears = [lift.shears(layout, ways) for layout, ways in answers]
    asked = DeckAsked(
        screw=max(
            response.greatest_pull(lift.nearest_to(places))
            for layout, ways in answers
            for places, response in zip(layout.screws, ways, strict=True)
        ),
        sideways=max(lift.sideways(layout.boards, screws) for layout, _ in answers for screws in layout.screws),
        along=max(along for along, _ in moments),
        across=max(across for _, across in moments),
        shear_along=max(along for along, _ in shears),
        shear_across=max(across for _, across in shears),
        steel=max(response.greatest_steel_moment for _, response in responses),
    )
    return LiftedDeck(piece.layers, asked)


class PlateUnder(NamedTuple):
    """A plate under the deck, as it presses on the boards per newton of pull, about the middle of its base."""

    plate: BackingPlate
    bed: Bed
    mirror: tuple[float, float]  # −1 where x or y runs the other way than in the scenario


def plates_under(question: Question) -> list[PlateUnder]:
    """The asked mounting's plate on each floor there may be; none where no deck is lifted or no plate is there.

    Raises
    ------
    PlateError
        The floor cannot be laid out, or nothing holds it.
    """
    found = []
    for laid in _ways_laid(question) if question.anchor.mounting.plate is not None else ():
        lift = _Lift(laid)
        if not lift.piece.why_not:
            mirror = lift.piece.way, lift.piece.side
            found += [
                PlateUnder(layout.plates[0], way.beds[0], mirror) for layout, ways in lift.answers() for way in ways
            ]
    return found


def pushed_sideways(question: Question) -> float:
    """Push on the most loaded screw of the deck per newton of pull [-], of a ring that lifts steel and not the deck."""
    return max(_Lift(laid).pushed() for laid in _ways_laid(question))


def reach_of(question: Question) -> Reach:
    """Deck that a ring hangs on, and all that has a part in what it holds.

    Raises
    ------
    PlateError
        None is lifted.
    """
    if not lifted_layers(question.anchor):
        raise PlateError("no sound layer is lifted")
    return _Lift(question).piece.reach


# --- which layers -------------------------------------------------------------------------------------------


class HeldBy(NamedTuple):
    """What holds the lifted layers down: the deck's screws into the members, or an overlay's into the layers below."""

    screw: Screw
    spacing: float
    first_at: float | None  # from the side edge to the first of a row; None where nobody said
    into: Literal["members", "layers below", "nothing"]


def held_by(question: Question) -> HeldBy:
    """The screws that hold the layers which the question's anchor lifts."""
    floor, lifted = question.anchor.floor, lifted_layers(question.anchor)
    if not lifted or max(lifted) + 1 >= floor.heads_on:
        return HeldBy(floor.hold_down, floor.hold_down_spacing, floor.hold_down_first_at, "members")
    fixing = floor.layers[max(lifted)].fixed
    if fixing is None:
        return HeldBy(floor.hold_down, floor.hold_down_spacing, floor.hold_down_first_at, "nothing")
    return HeldBy(fixing.screw, fixing.spacing, None, "layers below")


def passed_on(question: Question) -> Question | None:
    """The same pull as an overlay passes it on to the layers below and their own screws; None where it holds itself."""
    if held_by(question).into != "layers below":
        return None
    mounting = replace(question.anchor.mounting, backing=Bare(lifts_all=True))
    return replace(question, anchor=question.anchor.with_mounting(mounting), decks=[])


def lifted_layers(anchor: AnchorSetting) -> tuple[int, ...]:
    """Numbers of the sound layers that the anchor lifts, top first: those its fasteners reach and what lies on them."""
    sound = [number for number, layer in enumerate(anchor.floor.layers) if layer.bears_load]
    if not isinstance(anchor.mounting.backing, Bare) or anchor.mounting.backing.lifts_all:
        return tuple(sound)
    deepest = min(
        max((number for number, bite in enumerate(bites) if bite > 0), default=-1) for bites in thread_bites(anchor)
    )
    return tuple(number for number in sound if number <= deepest)


def thread_bites(anchor: AnchorSetting) -> tuple[tuple[float, ...], ...]:
    """Thread of the ring's screws in each layer [m], top first, for each thickness that the base may have.

    It is nothing in layers that count for nothing.
    """
    return tuple(_thread_bites(anchor, base) for base in anchor.mounting.base_may_be)


def _thread_bites(anchor: AnchorSetting, base: float) -> tuple[float, ...]:
    screws = anchor.mounting.screws
    bottoms = np.cumsum([layer.thickness for layer in anchor.floor.layers])
    tops = np.concatenate([[0.0], bottoms[:-1]])
    tip = screws.length - base
    found = bite(tip, tip - screws.screw.thread_length(screws.length), screws.screw.D, tops, bottoms)
    return tuple(
        float(each) if layer.bears_load else 0.0 for each, layer in zip(found, anchor.floor.layers, strict=True)
    )


# --- laying it out ------------------------------------------------------------------------------------------


class _Lift:
    """The piece of deck that an anchor and its neighbours lift, and their forces on it."""

    def __init__(self, question: Question) -> None:
        self._basis = question.basis
        # All fasteners of the asked base, though the question may be of some of them.
        whole = pull_of(question.anchor, np.array(question.pull.direction), question.basis, question.beside)
        anchor, floor = question.anchor, question.anchor.floor
        own = lifted_layers(anchor)
        near_by = [(each, lifted_layers(each), pull) for each, pull in _near(question)]
        self._pulled = [
            (anchor, whole),
            *((each, _left_to(floor, own, layers, pull)) for each, layers, pull in near_by),
        ]
        self._answering = [anchor, *(each for each, layers, _ in near_by if _lifts(each) and layers == own)]
        self._at, self._mirror = anchor.base_at, mirror_at(floor, anchor.base_at)
        self._floor, self._layers, held = floor, [floor.layers[number] for number in own], held_by(question)
        self._ring = round(self._mirror[1] * (anchor.at[1] - anchor.base_at[1]), 9)
        self._rows = Rows(held.spacing, held.first_at)
        self.piece = self._piece(self._covered())

    def _piece(self, covered: tuple[Span, Span], *, spans: bool = True) -> Piece:
        where = self._floor, self._basis, self._at, self._mirror
        return Piece(*where, self._layers, covered, self._rows, self._ring, spans=spans)

    def answers(self) -> list[tuple[Layout, tuple[FloorResponse, ...]]]:
        """Every floor there may be, with what it answers for each way its screws may stand."""
        loads, forces, plates = self.loads()
        return [(layout, floor_answers(layout, forces)) for layout in self.piece.layouts(loads, plates)]

    def pushed(self) -> float:
        """Push on the most loaded screw where nothing lifts the boards: a sheet that ends under a ring has its own.

        Where an opening takes the boards away nothing bears it.
        """
        (along, across), local, most = self._covered(), self.piece.local, 0.0
        ends = {local(x, 0.0)[0] for layer in self._layers for x in layer.joints_across}
        sides = {local(0.0, y)[1] for layer in self._layers for y in layer.joints_along}
        for part in product(parted(along, ends), parted(across, sides)):
            piece = self._piece(part, spans=False)
            if piece.why_not:
                return float("inf")
            ways = [(way.boards, screws) for way in piece.layouts(()) for screws in way.screws]
            most = max(most, *(self.sideways(boards, screws) for boards, screws in ways))
        return most

    def nearest_to(self, screws: Places) -> NDArray[np.bool_]:
        """Which screws are the asked mounting's to answer for.

        No other that lifts the same layers stands nearer to them: that one answers for them, with this one's pull.
        """
        places = np.array(screws).reshape(-1, 2)
        away = np.array([np.linalg.norm(self._beyond(anchor, places), axis=1) for anchor in self._answering])
        nearest = np.asarray(away[0] < away.min(axis=0) + _ROUNDED)
        return nearest if nearest.any() else np.ones(len(places), dtype=bool)

    def _beyond(self, anchor: AnchorSetting, places: FloatArray) -> FloatArray:
        """How far places (n, 2) lie beyond what a mounting covers [m]."""
        x, y, half_x, half_y = self._box_of(anchor)
        return np.asarray(np.maximum(np.abs(places - (x, y)) - (half_x, half_y), 0.0))

    def sideways(self, boards: Sequence[Board], screws: Places) -> float:
        """Push on the most loaded screw of the boards that the pulls push sideways, per newton of pull [-].

        A sheet passes the sum of all pulls on to its screws near them alike; of several planks each takes what the
        fasteners push that stand in it, and passes it on to its own screws alone.
        """
        pushes = [np.zeros((len(boards), 2))]
        for anchor, pull in self._pulled:
            places = self._on(anchor, anchor.mounting.positions)
            touched = np.array([_in(board.x, places[:, 0]) & _in(board.y, places[:, 1]) for board in boards])
            pushes.append(touched.sum(axis=1)[:, None] * np.array(pull.shove) / len(places))
        at = np.array([y for _, y in screws] if boards[0].whole else self._sharing(screws))
        own = np.array([np.count_nonzero((board.y[0] < at) & (at < board.y[1])) for board in boards])
        # Pulls against each other leave nothing to be held over a whole sheet; near each ring they do not cancel.
        most = np.max([np.linalg.norm(push, axis=1) for push in (*pushes, sum(pushes))], axis=0)
        with np.errstate(divide="ignore", invalid="ignore"):
            return float(np.where(most > 0, most / own, 0.0).max())

    def _sharing(self, screws: Places) -> tuple[float, ...]:
        """How far across the screws of a sheet stand that share the push of the pulls."""
        asked = self._pulled[0][0]
        # Those near it that pull as well are among the pulls, those that do not push nothing.
        far = tuple(self.piece.local(*each) for each in asked.strapped if not at_hand(self._floor, asked.base_at, each))
        boxes = tuple(self._box_of(anchor) for anchor, _ in self._pulled)
        return _sharing(screws, self._covered(), boxes, far, self._basis.factor("sheet_pushes_within"))

    def _box_of(self, anchor: AnchorSetting) -> tuple[float, float, float, float]:
        """Middle of what a mounting covers, and half its sides."""
        (x, y), (half_x, half_y) = self._on(anchor, np.zeros((1, 2)))[0].tolist(), _half(anchor).tolist()
        return x, y, half_x, half_y

    def shears(self, layout: Layout, ways: Sequence[FloorResponse]) -> tuple[float, float]:
        """Greatest shear per width along and across beside the asked mounting, per newton of pull [1/m]."""
        lifts = self._lifts([member.x for member in layout.members])
        found = [way.greatest_shears(lifts, layout.boards, layout.members) for way in ways]
        return max(along for along, _ in found), max(across for _, across in found)

    def _lifts(self, lines: Sequence[float]) -> list[tuple[Span, Span]]:
        """What the asked mounting lifts the deck by: its plate, or in each bay its fasteners with their seats."""
        anchor, pull = self._pulled[0]
        half = _half_plate(anchor)
        if half is not None:
            return [_box(self._on(anchor, np.array([half, -half])))]
        on_wood = ~anchor.mounting.in_member
        tensions = pull.tensions[on_wood]
        if isinstance(anchor.mounting.backing, Bars) or tensions.sum() <= _SLACK:
            return [_box(self._on(anchor, np.zeros((1, 2))))]
        places = self._on(anchor, anchor.mounting.positions[on_wood])
        bays = np.searchsorted(lines, places[:, 0])
        reach = seat_disc(anchor, self._basis) / 2
        return [
            _lifting(places[bays == bay], tensions[bays == bay], reach)
            for bay in sorted(set(bays.tolist()))
            if tensions[bays == bay].sum() > _SLACK * tensions.sum()
        ]

    def _covered(self) -> tuple[Span, Span]:
        """What all mountings that pull cover: from and to, along and across."""
        corners = np.concatenate(
            [self._on(anchor, np.array([half, -half])) for anchor, _ in self._pulled for half in [_half(anchor)]]
        )
        return _box(corners)

    def _on(self, anchor: AnchorSetting, places: FloatArray) -> FloatArray:
        """Places about the middle of an anchor's base, in the piece's frame, (n, 2)."""
        mirror, middle = np.array(self._mirror), np.array(anchor.base_at) - np.array(self._at)
        return np.asarray(np.round((middle + np.asarray(places)) * mirror, 9), dtype=float)

    def loads(self) -> tuple[tuple[Patch | Couple, ...], tuple[float, ...], tuple[BackingPlate, ...]]:
        """Patches and couples, the forces on them and then on the nuts of the plates, and the plates.

        The boards are examined at the asked mounting alone: what stands near it answers for its own seats.
        """
        loads: list[Patch | Couple] = []
        forces: list[float] = []
        plates: list[BackingPlate] = []
        nut_forces: list[float] = []
        for number, (anchor, pull) in enumerate(self._pulled):
            asked = number == 0
            if self._far(anchor):
                self._add_in_all(anchor, pull, loads, forces)
                continue
            on_wood = ~anchor.mounting.in_member
            seats = self._on(anchor, anchor.mounting.positions[on_wood])
            tensions = pull.tensions[on_wood]
            plate = anchor.mounting.plate
            if plate is not None:
                plates.append(self._plate(anchor, plate, seats, examined=asked))
                nut_forces += [tensions[k] for k in sorted(range(len(seats)), key=lambda k: seats[k].tolist())]
            elif _lifts(anchor):
                width = seat_disc(anchor, self._basis)
                loads += [self.piece.inside(disc(x, y, width))._replace(examined=asked) for x, y in seats.tolist()]
                forces += tensions.tolist()
            # All pads, also those that press nothing: another direction is then no other floor.
            for (x, y), force in zip(self._on(anchor, pull.pads).tolist(), pull.pad_forces, strict=True):
                half = 0.001
                loads.append(self.piece.inside(Patch((x - half, x + half), (y - half, y + half), examined=False)))
                forces.append(-float(force))
            self._add_couples(anchor, pull, loads, forces)
        order = sorted(range(len(loads)), key=lambda number: (type(loads[number]).__name__, loads[number]))
        # Rounded, so that a pull seen in a mirror is the same and is solved once; it is per newton on the ring.
        acting = tuple(round(float(force), 9) for force in (*(forces[k] for k in order), *nut_forces))
        return tuple(loads[k] for k in order), acting, tuple(plates)

    def _far(self, anchor: AnchorSetting) -> bool:
        """Whether a mounting stands so far along the trailer that it is all the same how it lifts."""
        own, other = self._pulled[0][0].box[0], anchor.box[0]
        return max(own[0] - other[1], other[0] - own[1]) > _FAR * self._floor.spacing

    def _add_in_all(self, anchor: AnchorSetting, pull: Pull, loads: list[Patch | Couple], forces: list[float]) -> None:
        """A pull far away: what it lifts and presses in all, spread over what its mounting covers."""
        on_wood = ~anchor.mounting.in_member if _lifts(anchor) else np.zeros(len(pull.tensions), dtype=bool)
        at = self._on(anchor, np.concatenate([anchor.mounting.positions[on_wood], pull.pads]))
        lift = np.concatenate([pull.tensions[on_wood], -pull.pad_forces])
        (middle,) = self._on(anchor, np.zeros((1, 2)))
        (x0, y0), (x1, y1) = middle - _half(anchor), middle + _half(anchor)
        patch = self.piece.inside(Patch((x0, x1), (y0, y1), examined=False))
        levers = at - np.array([sum(patch.x), sum(patch.y)]) / 2
        into = self._into(pull)
        loads += [patch, Couple(patch.x, patch.y, "x"), Couple(patch.x, patch.y, "y")]
        forces += [float(lift.sum()), *(lift @ levers + into).tolist()]

    def _into(self, pull: Pull) -> FloatArray:
        """Couples along and across of what goes in at the deck's top, and out to the members at its underside."""
        return -self.piece.thickness * np.array(pull.shove) * [self.piece.way, self.piece.side]

    def _add_couples(self, anchor: AnchorSetting, pull: Pull, loads: list[Patch | Couple], forces: list[float]) -> None:
        (x, y), (length, width) = self.piece.local(*anchor.base_at), _alongside(anchor)
        patch = self.piece.inside(Patch((x - length / 2, x + length / 2), (y - width / 2, y + width / 2)))
        loads += [Couple(patch.x, patch.y, "x"), Couple(patch.x, patch.y, "y")]
        forces += self._into(pull).tolist()

    def _plate(self, anchor: AnchorSetting, plate: PlateSeat, seats: FloatArray, *, examined: bool) -> BackingPlate:
        x, y = self.piece.local(*anchor.base_at)
        half_x, half_y = plate.size[0] / 2, plate.size[1] / 2
        nut = anchor.mounting.bolts.thread.d_nut
        bed = self._basis.factor("wood_across_over_along") * self.piece.layers[-1].panel.E / self.piece.thickness
        nuts = tuple(disc(u, v, nut) for u, v in sorted(seats.tolist()))
        lies = self.piece.inside(Patch((x - half_x, x + half_x), (y - half_y, y + half_y)))
        return BackingPlate(lies.x, lies.y, plate.thickness, plate.steel.E, _NU_STEEL, nuts, bed, examined)


@lru_cache(maxsize=2048)
def _sharing(
    screws: Places,
    covered: tuple[Span, Span],
    pulled: tuple[tuple[float, float, float, float], ...],
    far: tuple[tuple[float, float], ...],
    reach: float,
) -> tuple[float, ...]:
    """How far across screws of a sheet stand that are within reach of what pulls, and nearer to it than to far rings.

    `pulled` are middles and half sides of what pulls; along it is at least as far as to the members beside. The same
    in whatever direction they pull.
    """
    (x0, x1), (y0, y1) = covered
    places = np.array(screws).reshape(-1, 2)
    lines = places[:, 0].tolist()
    start = min(x0 - reach, max((x for x in lines if x <= x0), default=x0))
    end = max(x1 + reach, min((x for x in lines if x >= x1), default=x1))
    near_by = places[_in((start, end), places[:, 0]) & _in((y0 - reach, y1 + reach), places[:, 1])]
    beyond = (np.maximum(np.abs(near_by - (x, y)) - (half_x, half_y), 0.0) for x, y, half_x, half_y in pulled)
    away = np.min([np.linalg.norm(each, axis=1) for each in beyond], axis=0)
    for place in far:
        own = np.linalg.norm(near_by - place, axis=1) >= away
        near_by, away = near_by[own], away[own]
    return tuple(near_by[:, 1].tolist())


def _lifts(anchor: AnchorSetting) -> bool:
    """Whether a mounting lifts the deck, and is asked for the screws that hold it."""
    lifting = isinstance(anchor.mounting.backing, Bare | Bearing | ThroughSteel)
    return lifting and not anchor.mounting.all_in_member


def _in(span: Span, at: FloatArray) -> NDArray[np.bool_]:
    return np.asarray((span[0] <= at) & (at <= span[1]))


def _near(question: Question) -> list[tuple[AnchorSetting, Pull]]:
    """Other bases that lift the same piece of deck, each with what its rings do per newton on the asked ring."""
    bases: dict[str, list[Neighbour]] = {}
    for each in question.beside:
        on_deck = each.anchor.base != question.anchor.base and not isinstance(each.anchor.mounting.backing, Frame)
        if on_deck and float(np.linalg.norm(each.pull)) > 0:
            bases.setdefault(each.anchor.base, []).append(each)
    return [
        (first.anchor, pull_of(first.anchor, np.array(first.pull), question.basis, more))
        for first, *more in bases.values()
        if any(near(question.anchor, each.anchor) for each in (first, *more))
    ]


def _left_to(floor: FloorSetting, own: Sequence[int], lifted: Sequence[int], pull: Pull) -> Pull:
    """What of a pull near by comes on the asked ring's `own` layers: of more layers than these by stiffness."""
    if set(lifted) <= set(own):
        return pull
    stiffness = {number: floor.layers[number].panel.E * floor.layers[number].spanning[0] for number in lifted}
    share = sum(stiffness[number] for number in own) / max(sum(stiffness.values()), 1e-12)
    x, y = pull.shove
    return replace(
        pull, tensions=share * pull.tensions, pad_forces=share * pull.pad_forces, shove=(share * x, share * y)
    )


def _alongside(anchor: AnchorSetting) -> tuple[float, float]:
    """Sides of the base along and across the trailer; of one that stands askew no more than it has itself."""
    (length, width), (along, across) = anchor.mounting.base, anchor.mounting.covers
    return min(along, max(length, width)), min(across, max(length, width))


def _half_plate(anchor: AnchorSetting) -> FloatArray | None:
    """Half of the sides of the plate under the deck, (2,) [m]; None where there is none."""
    plate = anchor.mounting.plate
    return None if plate is None else np.array(plate.size) / 2


def _box(places: FloatArray) -> tuple[Span, Span]:
    """From and to along and across of places (n, 2)."""
    (x0, y0), (x1, y1) = places.min(axis=0).tolist(), places.max(axis=0).tolist()
    return (x0, x1), (y0, y1)


def _lifting(places: FloatArray, tensions: FloatArray, reach: float) -> tuple[Span, Span]:
    """The stretch that fasteners (n, 2) lift, with so much of seat beyond the outermost.

    Of fasteners that share unevenly, as on a strip that bends, those that hardly pull lift nothing: it is as long
    and wide as an even lift with the same spread, and no more than the fasteners stand apart.
    """
    middle = np.average(places, axis=0, weights=tensions)
    half = np.sqrt(3 * np.average(np.square(places - middle), axis=0, weights=tensions))
    low, high = np.maximum(places.min(axis=0), middle - half), np.minimum(places.max(axis=0), middle + half)
    (x0, y0), (x1, y1) = (low - reach).tolist(), (high + reach).tolist()
    return (x0, x1), (y0, y1)


def _half(anchor: AnchorSetting) -> FloatArray:
    """Half of the length and width of deck that a mounting lifts or presses, (2,) [m]."""
    return np.array(anchor.mounting.lies_on) / 2
