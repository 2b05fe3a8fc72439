"""Links of bolts: the bolt's own steel, and how a washer or plate bears on the wood under the nut."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np

from anchorcalc.links.beside import nearest_line
from anchorcalc.links.common import (
    UNSOUND_TOP,
    FloatArray,
    Question,
    Strength,
    both_levels,
    dowel_bearing,
    embedment,
    force,
    length,
    nothing,
    number,
    per_newton,
    pressure,
)
from anchorcalc.links.seat import hole_of, nut_pulled_through, pull_through_stresses, seat_of
from anchorcalc.mechanics import bearing, bolts, dowels, screws
from anchorcalc.rig.parts import Bearing, PlateSeat, WasherSeat

if TYPE_CHECKING:
    from collections.abc import Callable

    from anchorcalc.rig.floor import LayerSetting
    from anchorcalc.rig.parts import AnchorSetting
    from anchorcalc.rig.rig import Basis


def bolt_steel(question: Question) -> Strength:
    """The most loaded bolt breaks, in tension and shear together."""
    anchor, pull, basis = question.anchor, question.pull, question.basis
    thread, grade = anchor.mounting.bolts.thread, anchor.mounting.bolts.grade
    body = np.pi / 4 * thread.D**2
    # Tension by the stress area, which is what the fastener standards prove; AISC's 0.75 stands for it.
    F_nt = min(float(bolts.tension_nominal_aisc(grade.tensile, 1.0)), grade.tensile * thread.A_s / body)
    F_nv = bolts.shear_nominal_aisc(grade.tensile, 1.0, threads_in_plane=True)
    breaking, allowable = (
        float(bolts.tension_shear_pull_aisc(F_nt, F_nv, body, pull.most, pull.sideways_first, omega))
        for omega in (1.0, basis.factor("aisc_bolt"))
    )
    return both_levels(
        question,
        breaking,
        allowable,
        code="AISC 360 J3, Ω = 2",
        formula="F'_nt = 1.3 F_nt − (Ω F_nt / F_nv) f_rv ≤ F_nt",
        source=f"AISC 360 J3.6-J3.7; {grade.source}",
        figures=(
            pressure("F_u", grade.tensile, f"least tensile strength, {grade.name}"),
            length("D", thread.D, f"bolt {thread.name}"),
            number("tension", pull.most, "of the pull on the most loaded bolt"),
            number("shear", pull.sideways_first, "of the pull on each bolt that bears first in its loose hole"),
        ),
    )


def bolt_sideways(question: Question) -> Strength:
    """The bolts crush the wood sideways or bend over; what holds their ends decides.

    Bolts in wood and bolts in steel that stays where it is add up: both give way before they let go.
    """
    anchor, basis = question.anchor, question.basis
    if not anchor.floor.layers[0].bears_load:
        return nothing(UNSOUND_TOP, "Johansen's theory asks for wood that bears right under the base")
    in_member, count = anchor.mounting.in_member, len(anchor.mounting.positions)
    in_member = in_member & (anchor.floor.timber is None)
    dowel = _Dowel(question)
    on_wood, in_steel = int((~in_member).sum()), int(in_member.sum())
    wood = dowel.on_wood()
    steel = dowel.in_steel(wood) if in_steel else 0.0
    breaking = (on_wood * wood + in_steel * steel) / count
    daily = on_wood * dowel.daily_on_wood() * basis.rules.duration_factor
    daily += in_steel * steel / basis.rules.design_factor
    share = question.pull.sideways
    return both_levels(
        question,
        per_newton(breaking, share),
        per_newton(daily / count, share),
        code="NDS lateral value",
        formula="f_h t d (√(2 + 4 (M_near + M_far) / f_h d t²) − 1), no more than f_h t d and 1.15 √(2 (M_y + M_near) "
        "f_h d); in steel that stays f_h d x / 2 + (M_near + M_y) / x",
        source="Johansen's theory; EN 1995-1-1 8.2.3, 8.36, 8.30 (5 % values); NDS 12.3, modes that turn a held end "
        "left out (judgement)",
        figures=(
            pressure("f_h", dowel.f_h, "bearing strength of the wood, mean of the layers"),
            length("t", dowel.t, "sound layers"),
            length("d", dowel.d, "bolt at the root of its thread"),
            number("near", dowel.M_near / dowel.M_y, "of the bolt's own moment that holds its end in the base"),
            number("far", dowel.M_far / dowel.M_y, "of it that holds the other end"),
            force("Z", breaking, "low estimate of one bolt"),
            number("share", share, "of the pull on each bolt"),
        ),
        remark=_TIMBER_SPLITS if anchor.floor.timber is not None and anchor.mounting.in_member.any() else "",
    )


_TIMBER_SPLITS = "the cross-member of wood is not counted sideways: it may split along the bolts"


# Of one mounting the same in every case and under every change of the straps.
_moving_ends = lru_cache(maxsize=4096)(dowels.moving_ends_through_plate)
_staying_end = lru_cache(maxsize=4096)(dowels.staying_end_through_plate)


class _Dowel:
    """One bolt of a mounting, pushed sideways."""

    def __init__(self, question: Question) -> None:
        anchor, basis = question.anchor, question.basis
        bolts_ = anchor.mounting.bolts
        self._anchor, self._basis, self._layers = anchor, basis, anchor.floor.sound_from_top
        self._hollow = len(self._layers) < len(anchor.floor.layers)  # what is below does not hold the far end
        self.t = sum(layer.thickness for layer in self._layers)
        self.d = float(np.sqrt(4 / np.pi * bolts_.thread.A_root))
        self.f_h = self._over_layers(lambda layer: embedment(layer, bolts_.D, basis, bolt=True))
        self.M_y = float(dowels.yield_moment_ec5(bolts_.grade.tensile, self.d))
        self._steel = basis.factor("steel_dowel_bearing")
        self.M_near, self.M_far = self._ends(self.M_y)
        self._shear = float(screws.screw_shear(bolts_.grade.tensile, self.d))

    def _over_layers(self, strength_of: Callable[[LayerSetting], float]) -> float:
        """Mean bearing strength over the layers, each by its thickness [Pa]."""
        return sum(strength_of(x) * x.thickness / self.t for x in self._layers)

    def _ends(self, M_y: float) -> tuple[float, float]:
        """Moments that the base and what is under the deck hold the ends of a bolt by, which yields at M_y [N·m]."""
        anchor, basis = self._anchor, self._basis

        def end(thickness: float) -> float:
            return float(dowels.end_moment(M_y, self._steel, self.d, thickness))

        seat = anchor.mounting.seat if isinstance(anchor.mounting.backing, Bearing) else None
        far = 0.0 if seat is None or self._hollow else end(seat.thickness)
        if isinstance(seat, WasherSeat):  # a small one turns over in the wood, however thick
            bottom = bottom_layer(anchor)
            bears = basis.factor("ec5_bearing_factor") * bottom.panel.f_c90_k * bottom.condition.bearing
            far = min(far, float(dowels.washer_couple(bears, seat.outside)))
        return end(anchor.mounting.base_thickness), far

    def on_wood(self) -> float:
        """Low estimate where the far end is free, or in a washer or plate that moves along [N]."""
        found = _moving_ends(
            self.f_h, self.t, self.d, self.M_y, self.M_far, self._steel, self._anchor.mounting.base_thickness
        )
        return min(float(found), self._shear)

    def in_steel(self, on_wood: float) -> float:
        """Low estimate through the wood into a leg or wall that stays where it is; never below `on_wood` [N]."""
        if self._hollow:
            return on_wood
        # The wall passes on what the wood leaves of the push, no more than the whole: that holds no end.
        wall = self._anchor.floor.section.thickness
        far = float(dowels.end_moment(self.M_y, self._steel, self.d, wall, F=on_wood))
        base = self._anchor.mounting.base_thickness
        return float(_staying_end(self.f_h, self.t, self.d, self.M_y, far, self._shear, self._steel, base))

    def daily_on_wood(self) -> float:
        """Reference value of NDS [N]."""
        thread = self._anchor.mounting.bolts.thread
        F_em = self._over_layers(lambda layer: dowel_bearing(layer, thread.D))
        F_yb = self._basis.factor("bolt_bending_yield")
        M_y = F_yb * self.d**3 / 6  # of bolts as the code knows them: a better one is held no worse
        near, far = self._ends(M_y)
        plies = not any(layer.section.planks for layer in self._layers)
        found = screws.lateral_reference_held(
            self.d,
            F_yb,
            F_em,
            self.t,
            self._steel,
            self._anchor.mounting.base_thickness,
            thread.D,
            near / M_y,
            far / M_y,
            1.0 if plies else screws.K_THETA,
        )
        return float(found)


def bottom_layer(anchor: AnchorSetting) -> LayerSetting:
    """The lowest layer that may be counted: the one washers and plates bear on."""
    return anchor.floor.sound_layers[-1]


def crushing_pressure(anchor: AnchorSetting) -> float:
    """Allowable pressure on the layer the nuts bear on [Pa]."""
    bottom = bottom_layer(anchor)
    return bottom.panel.bearing_allowable * bottom.condition.bearing


def bearing_areas(anchor: AnchorSetting, positions: FloatArray, basis: Basis) -> FloatArray:
    """Wood that bears under each nut at the allowable pressure, (n,) [m²].

    A thin washer dishes: only a rim of c beyond the nut presses (EN 1993-1-8, 6.2.5(4)). A plate counts under each
    nut like a washer of min(12 t, 4 d) (EN 1995-1-1, 8.5.2(3)), wider than 4 d where wider ones are sold for the bolt:
    they count in full, and a plate is no worse than they.
    """
    seat, thread = seat_of(anchor), anchor.mounting.bolts.thread
    reach = float(bearing.plate_reach(seat.thickness, seat.steel.F_y, crushing_pressure(anchor)))
    if isinstance(seat, PlateSeat):
        d = max(thread.D, basis.shelf.widest_washer(thread.name) / bearing.WASHER_OVER_BOLT)
        most = max(float(bearing.washer_equal_diameter(seat.thickness, d)), thread.d_nut)
        half = np.array(seat.size) / 2
    else:
        most, half = seat.outside, np.full(2, np.inf)
    diameter = float(bearing.effective_diameter(thread.d_nut, reach, most))
    areas = bearing.bearing_areas(positions, diameter / 2, half, hole_of(anchor, basis))
    return np.maximum(areas - _lost_to_cut_out(anchor, positions, diameter), 0.0)


def _lost_to_cut_out(anchor: AnchorSetting, positions: FloatArray, diameter: float) -> FloatArray:
    """Part of each disc that lies over the opening cut for a recessed ring [m²], (n,)."""
    opening, reach = anchor.mounting.opens, diameter / 2
    if opening is None or not anchor.mounting.cuts(bottom_layer(anchor)):
        return np.zeros(len(positions))
    into = [np.clip(opening[k] / 2 - (np.abs(positions[:, k]) - reach), 0.0, 2 * reach) for k in (0, 1)]
    return np.asarray(np.minimum(into[0] * into[1], np.pi * reach**2))


def crushed_area(anchor: AnchorSetting, positions: FloatArray, basis: Basis) -> float:
    """Wood of a cross-member that bears on the washer under the worst of the bolts (n, 2) through it [m²].

    Of a washer no more counts than a disc that lies on the member, by how far its bolt stands off the middle.
    """
    timber, seat, thread = anchor.floor.bearer, seat_of(anchor), anchor.mounting.bolts.thread
    if not isinstance(seat, WasherSeat):
        raise TypeError(f"no bolts of anchor {anchor.name!r} bear on wood by washers")
    off = max(abs(x - nearest_line(x, anchor.floor)) for x in (positions[:, 0] + anchor.base_at[0]).tolist())
    reach = float(bearing.plate_reach(seat.thickness, seat.steel.F_y, timber.bears))
    diameter = min(float(bearing.effective_diameter(thread.d_nut, reach, seat.outside)), timber.width - 2 * off)
    return float(np.pi / 4 * max(diameter**2 - hole_of(anchor, basis) ** 2, 0.0))


def timber_crushed(question: Question) -> Strength:
    """The wood of the cross-member is crushed under the washer of the most loaded bolt through it."""
    anchor, basis, timber = question.anchor, question.basis, question.anchor.floor.bearer
    A = crushed_area(anchor, question.pull.resisting, basis)
    low = basis.factor("ec5_bearing_factor") * timber.wood.f_c90_k * timber.condition.bearing * A
    return both_levels(
        question,
        per_newton(low, question.pull.most),
        per_newton(timber.bears * A, question.pull.most),
        code="NDS compression across the grain",
        formula="f A over the share, D_eff = min(D, b, d_nut + 2 t √(f_y / 3 f)) less the hole; breaking 3 f_c,90,k A",
        source=f"EN 1995-1-1 8.5.2(2); EN 1993-1-8 6.2.5(4); {timber.wood.source}",
        figures=(
            pressure("f", timber.bears, "allowable bearing pressure"),
            number("A", A * 1e6, "mm² that bear under a washer"),
            number("share", question.pull.most, "of the pull on the most loaded bolt"),
        ),
    )


def crushing(question: Question) -> Strength:
    """The wood under the most loaded nut is crushed: that limits what may be asked daily, and lets nothing go."""
    anchor, pull = question.anchor, question.pull
    areas, f = bearing_areas(anchor, pull.resisting, question.basis), crushing_pressure(anchor)
    allowable = float(np.min(areas * f / np.maximum(pull.tensions, 1e-12)))
    return both_levels(
        question,
        float("inf"),
        allowable,
        code="panel bearing on face (APA)",
        formula="F = f A / share, A of D_eff = min(D, d_nut + 2 t √(f_y / 3 f)) less the hole; a plate's D = "
        "min(12 t, the greater of 4 d and the widest washer sold for the bolt)",
        source="APA bearing on face; EN 1993-1-8 6.2.5(4); EN 1995-1-1 8.5.2(2),(3)",
        figures=(
            pressure("f", f, "allowable bearing pressure"),
            number("A", float(areas.min() * 1e6), "mm² that bear under a nut"),
            number("share", pull.most, "of the pull on the most loaded bolt"),
        ),
    )


def pull_through(question: Question) -> Strength:
    """The most loaded washer, or the nut on its plate, leaves through the panel."""
    anchor, basis, pull = question.anchor, question.basis, question.pull
    low, daily = (nut_pulled_through(anchor, basis, mean=mean) for mean in (True, False))
    breaking, allowable = (
        float(
            np.min(
                each.strength * _rim_in_wood(anchor, pull.resisting, each.diameter) / np.maximum(pull.tensions, 1e-12)
            )
        )
        for each in (low, daily)
    )
    return _punched(question, breaking, allowable, low.diameter)


_AROUND = np.linspace(0.0, 2 * np.pi, 720, endpoint=False)


def _rim_in_wood(anchor: AnchorSetting, positions: FloatArray, diameter: float) -> FloatArray:
    """Share of the rim of each disc that does not lie over an opening cut for a recessed ring, (n,) [-].

    Of an opening that goes through some layers alone no more is said (judgement): what it parts does not hold there.
    """
    opening = anchor.mounting.opens
    if opening is None or not any(anchor.mounting.cuts(layer) for layer in anchor.floor.sound_layers):
        return np.ones(len(positions))
    rim = np.stack([np.cos(_AROUND), np.sin(_AROUND)], axis=1) * diameter / 2
    over = np.all(np.abs(positions[:, None] + rim) < np.array(opening) / 2, axis=2)
    return np.asarray(1 - over.mean(axis=1))


def punch_out(question: Question) -> Strength:
    """Washers, or nuts on their plate, take a piece of deck with them: the most loaded ones, as many as are worst."""
    anchor, basis, pull = question.anchor, question.basis, question.pull
    strengths = []
    order = np.argsort(-np.round(pull.tensions, 9), kind="stable")
    groups = [order[:count] for count in range(min(2, len(order)), len(order) + 1)]  # one alone: `pull_through`
    for mean in (True, False):
        diameter = nut_pulled_through(anchor, basis, mean=mean).diameter
        layers = anchor.floor.sound_from_below
        stresses = pull_through_stresses(layers, basis, mean=mean)
        single = bearing.pull_through_strength(diameter, stresses, [layer.thickness for layer in layers])
        hulls = [single * _hull(anchor, pull.resisting[each], diameter) / (np.pi * diameter) for each in groups]
        lifts = [float(pull.tensions[each].sum()) for each in groups]
        strengths.append(min(map(per_newton, hulls, lifts)))
    return _punched(question, strengths[0], strengths[1], nut_pulled_through(anchor, basis, mean=True).diameter)


def _punched(question: Question, breaking: float, allowable: float, diameter: float) -> Strength:
    return both_levels(
        question,
        breaking,
        allowable,
        code="NDS head pull-through value",
        formula="690 G² psi on the perimeter, t ≤ 2.5 D_eff, D_eff = d_nut + 2 c at the pressure of the pull-through; "
        "mean 5 times that",
        source="NDS 2018 12.2.5 (a screw-head formula; that a nut and a washer are heads is our judgement)",
        figures=(length("D_eff", diameter, "diameter that leaves through the panel"),),
    )


def _hull(anchor: AnchorSetting, positions: FloatArray, diameter: float) -> float:
    if anchor.mounting.plate is not None:
        half = np.array(anchor.mounting.plate.size) / 2
        return float(bearing.hull_perimeter_on_plate(positions, diameter / 2, half))
    return float(bearing.hull_perimeter(positions, diameter / 2))


def nut_through_plate(question: Question) -> Strength:
    """A nut pulls through the steel plate."""
    anchor, plate = question.anchor, question.anchor.mounting.plate
    if plate is None:
        raise TypeError(f"anchor {anchor.name!r} has no plate")
    strength = float(bolts.nut_punching_ec3(anchor.mounting.bolts.thread.d_nut, plate.thickness, plate.steel.F_u, 1.0))
    return both_levels(
        question,
        per_newton(strength, question.pull.most),
        None,
        code="",
        formula="0.6 π d_m t f_u",
        source="EN 1993-1-8 table 3.4",
        figures=(length("t", plate.thickness, "plate thickness"), pressure("f_u", plate.steel.F_u, "plate steel")),
    )
