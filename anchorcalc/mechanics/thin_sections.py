"""Sections folded of thin sheet: what of them is still effective when they first yield, since their parts buckle first.

Linear method: a section is lines of its thickness, with round corners. Lips are not counted.
"""

from __future__ import annotations

from math import pi, sqrt
from typing import Final, NamedTuple

STIFFENED: Final = 4.0
"""Buckling coefficient k of a flat held at both edges, evenly compressed."""
UNSTIFFENED: Final = 0.43
"""Buckling coefficient k of a flat with a free edge, evenly compressed."""
WEB_BENT: Final = 24.0
"""Buckling coefficient k of a web held at both edges and bent in its plane."""
_POISSON: Final = 0.3
_FULLY: Final = 0.673  # slenderness up to which a flat is fully effective
_K_V: Final = 5.34  # shear buckling coefficient of a web without stiffeners
_SETTLED: Final = 30  # rounds in which the neutral axis of a section with a slender web comes to rest


class Bends(NamedTuple):
    """A folded section in bending."""

    S: float  # effective modulus [m³]
    I: float  # effective moment of inertia [m⁴]  # noqa: E741 - the symbol of its source
    neutral: float  # from the compressed face to the neutral axis [m]


def effective_share(w: float, t: float, f: float, k: float, E: float) -> float:
    """Share ρ of a flat w wide that is effective under a compression f [-].

    λ = √(f / F_cr), F_cr = k π² E / 12 (1 − µ²) · (t / w)²; ρ = (1 − 0.22 / λ) / λ, all of it up to λ = 0.673.

    Source: G. Winter; AISI S100-16 appendix 1, 1.1.
    """
    slender = sqrt(12 * (1 - _POISSON**2) * f / (k * pi**2 * E)) * w / t
    return 1.0 if slender <= _FULLY else (1 - 0.22 / slender) / slender


def effective_web(h: float, t: float, f: float, psi: float, E: float, tall: float) -> tuple[float, float]:
    """What of a web's compressed part is effective, beside the flange and beside the neutral axis [m].

    Parameters
    ----------
    h, t : flat part of the web [m]
    f : compression at its end [Pa]
    psi : tension at its other end over that [-]
    tall : depth of the section over the width of its compressed flange [-]

    Source: AISI S100-16 appendix 1, 1.1.2: k = 4 + 2 (1 + ψ)³ + 2 (1 + ψ), b_1 = b_e / (3 + ψ), b_2 = b_e / 2 where
    ψ > 0.236, else b_e − b_1; of sections taller than four flanges b_2 = b_e / (1 + ψ) − b_1.
    """
    b_e = h * effective_share(h, t, f, 4 + 2 * (1 + psi) ** 3 + 2 * (1 + psi), E)
    b_1 = b_e / (3 + psi)
    if tall > 4:
        return b_1, b_e / (1 + psi) - b_1
    return b_1, b_e / 2 if psi > 0.236 else b_e - b_1


class Folded(NamedTuple):
    """A section between two faces with its webs upright; sizes from outside to outside [m]."""

    depth: float
    t: float
    r: float  # inside, of its bends
    webs: int
    pressed: float  # flats of the compressed face, together
    flats: int  # how many those are
    k: float  # of each of them
    pulled: float  # flats of the other face, together
    flange: float  # width of the compressed face that goes with a web

    def bends(self, f: float, E: float) -> Bends:
        """When the compressed face has reached `f` [Pa], or less where the other would have passed it before.

        That the flats are taken at `f` even then is on the safe side.
        """
        width = self.pressed / self.flats
        top = self.pressed * effective_share(width, self.t, f, self.k, E)
        near, far = self.r + self.t, self.depth - self.r - self.t
        gap = (near, near)  # of the web, from the compressed face
        for _ in range(_SETTLED):
            found = self._with(top, gap)
            y = found.neutral
            if y <= near:
                break
            web = effective_web(
                far - near, self.t, f * (y - near) / y, (far - y) / (y - near), E, self.depth / self.flange
            )
            gap = (near + web[0], max(y - web[1], near + web[0]))
        return found

    def _with(self, top: float, gap: tuple[float, float]) -> Bends:
        """The section with so much of its compressed flats, and without a stretch of each web."""
        t, corner = self.t, (self.r + self.t / 2) * pi / 2
        near, far, off = self.r + t, self.depth - self.r - t, (self.r + t / 2) * 2 / pi
        stretches = [(near, gap[0]), (gap[1], far)]
        lines = [(top, t / 2, 0.0), (self.pulled, self.depth - t / 2, 0.0)]
        lines += [(self.webs * corner, near - off, 0.0), (self.webs * corner, far + off, 0.0)]
        lines += [(self.webs * (b - a), (a + b) / 2, self.webs * (b - a) ** 3 / 12) for a, b in stretches]
        total = sum(length for length, _, _ in lines)
        y = sum(length * at for length, at, _ in lines) / total
        inertia = t * sum(length * (at - y) ** 2 + own for length, at, own in lines)
        return Bends(inertia / max(y, self.depth - y), inertia, y)


def hat_modulus(
    depth: float, crown: float, brim: float, t: float, r: float, f: float, E: float, *, crown_pressed: bool
) -> float:
    """Effective modulus of a hat whose crown, or else whose brims, are compressed by a stress `f` [m³].

    Sizes from outside to outside, brims from the webs to their edges, r inside the bends [m]; E [Pa].
    """
    flat, edges = crown - 2 * (r + t), 2 * (brim - r)
    if crown_pressed:
        return Folded(depth, t, r, 2, flat, 1, STIFFENED, edges, crown).bends(f, E).S
    return Folded(depth, t, r, 2, edges, 2, UNSTIFFENED, flat, brim + t).bends(f, E).S


def hat_spread(depth: float, crown: float, brim: float, t: float, f_y: float, E: float) -> float:
    """Share χ of the yield stress at which compressed brims spread, held by what webs and crown bend alone [-].

    A brim with a fifth of its web is a strut on springs: K = D / (h³ / 3 + h² b / 2), D = E t³ / 12 (1 − µ²), both webs
    spread alike; σ = 2 √(K E I_s) / A_s, χ by λ = √(f_y / σ). What the deck holds of the crown is not counted.

    Source: EN 1993-1-3 5.5.3.1 (6), eqs. 5.12 and 5.15; 10.1.4.1 for the part of the web (from memory).
    """
    h, b, c, web = depth - t, crown - t, brim + t / 2, (depth - t) / 5
    K = E * t**3 / (12 * (1 - _POISSON**2)) / (h**3 / 3 + h**2 * b / 2)
    off = c**2 / 2 / (c + web)
    inertia = t * (c**3 / 12 + c * (c / 2 - off) ** 2 + web * off**2)
    slender = sqrt(f_y * t * (c + web) / (2 * sqrt(K * E * inertia)))
    return min(1.0, 1.47 - 0.723 * slender) if slender < 1.38 else 0.66 / slender


def hat_resists(depth: float, crown: float, brim: float, t: float, r: float, f_y: float, E: float) -> float:
    """Moment of a hat, whichever of its faces is the weaker when compressed [N·m]; sizes as of `hat_modulus`."""
    pressed = hat_modulus(depth, crown, brim, t, r, f_y, E, crown_pressed=True)
    spread = hat_spread(depth, crown, brim, t, f_y, E)
    return f_y * min(pressed, spread * hat_modulus(depth, crown, brim, t, r, f_y, E, crown_pressed=False))


def zed_modulus(depth: float, flange: float, t: float, r: float, f: float, E: float, k: float = UNSTIFFENED) -> float:
    """Effective modulus of a Z with equal flanges about the axis across its web, at a stress `f` [m³].

    A channel of the same sizes has the same. Sizes as of `hat_modulus`; k of the compressed flange.
    """
    flat = flange - r - t
    return Folded(depth, t, r, 1, flat, 1, k, flat, flange).bends(f, E).S


def zed_unheld(depth: float, flange: float, t: float) -> float:
    """Share of a Z's modulus that is left to it where nothing keeps it from giving way sideways as it bends [-].

    σ = M (I_y y − I_xy x) / (I_x I_y − I_xy²) at the corner or the tip of a flange, lines with sharp corners.

    Source: bending of unsymmetrical sections, Timoshenko, Strength of Materials, part I (from memory); statics.
    """
    a, h = flange - t / 2, depth - t
    I_x, I_y, I_xy = h**3 / 12 + a * h**2 / 2, 2 * a**3 / 3, a**2 * h / 2
    most = max(I_y * h / 2, abs(I_y * h / 2 - I_xy * a))
    return (I_x * I_y - I_xy**2) * h / 2 / (I_x * most)


def zed_buckling_stress(depth: float, flange: float, t: float, L: float, S: float, f_y: float, E: float) -> float:
    """Stress in the compressed flange at which a Z yields, or first turns over between what holds it [Pa].

    F_cre = π² E d I_yc / (2 S L²); f_y from 2.78 f_y on, itself up to 0.56 f_y, 10/9 f_y (1 − 10 f_y / 36 F_cre)
    between; I_yc of the compressed half about the web.

    Source: AISI S100-16 F2.1, F2.1.3 (from memory), C_b = 1.
    """
    a = flange - t / 2
    return held_stress(pi**2 * E * depth * (t * a**3 / 3) / (2 * S * L**2), f_y)


def held_stress(F_cre: float, f_y: float) -> float:
    """Stress at which a section yields or first turns over, which it would at `F_cre` if it never yielded [Pa].

    f_y from 2.78 f_y on, F_cre itself up to 0.56 f_y, 10/9 f_y (1 − 10 f_y / 36 F_cre) between.

    Source: AISI S100-16 F2.1 (from memory).
    """
    if f_y <= F_cre / 2.78:
        return f_y
    return F_cre if 0.56 * f_y >= F_cre else 10 / 9 * f_y * (1 - 10 * f_y / (36 * F_cre))


class Sideways(NamedTuple):
    """What of a section keeps it from turning over."""

    I_y: float  # about its upright axis [m⁴]
    J: float  # St. Venant's torsion [m⁴]
    C_w: float  # warping [m⁶]


def channel_sideways(depth: float, flange: float, t_f: float, t_w: float) -> Sideways:
    """Of a channel of flat plates, by the lines of their middles; sizes from outside to outside, flange width [m].

    Source: thin-walled sections, AISC Design Guide 9 appendix, Timoshenko & Gere table A-3 (from memory).
    """
    b, h = flange - t_w / 2, depth - t_f
    sides, web = 2 * b * t_f, h * t_w
    off = sides * b / 2 / (sides + web)
    I_y = t_f * b**3 / 6 + sides * (b / 2 - off) ** 2 + web * off**2
    J = (2 * b * t_f**3 + h * t_w**3) / 3
    C_w = t_f * b**3 * h**2 / 12 * (3 * b * t_f + 2 * h * t_w) / (6 * b * t_f + h * t_w)
    return Sideways(I_y, J, C_w)


def i_sideways(depth: float, flange: float, t_f: float, t_w: float) -> Sideways:
    """Of an I of flat plates; as `channel_sideways`."""
    h = depth - t_f
    I_y = t_f * flange**3 / 6
    return Sideways(I_y, (2 * flange * t_f**3 + h * t_w**3) / 3, I_y * h**2 / 4)


def turning_over_stress(I_y: float, J: float, C_w: float, L: float, S: float, E: float) -> float:
    """Stress at which a section would turn over between ends L apart, evenly bent, if it never yielded [Pa].

    F_cre = π / (L S) √(E I_y G J + (π E / L)² I_y C_w), G = E / 2 (1 + µ).

    Source: Timoshenko & Gere, Theory of Elastic Stability; AISC 360-16 F2.2 with C_b = 1.
    """
    G = E / (2 * (1 + _POISSON))
    return pi / (L * S) * sqrt(E * I_y * G * J + (pi * E / L) ** 2 * I_y * C_w)


def angle_leg_share(slender: float, f_y: float, E: float) -> float:
    """Share of the yield moment that a leg `slender` times as deep as thick leaves, its edge compressed [-].

    2.43 − 1.72 (b / t) √(f_y / E), no more than one; from b / t = 0.91 √(E / f_y) on 0.71 E / (f_y (b / t)²).

    Source: AISC 360-16 F10.3.
    """
    x = slender * sqrt(f_y / E)
    return min(1.0, 2.43 - 1.72 * x) if x <= 0.91 else 0.71 / x**2


def zed_resists(depth: float, flange: float, t: float, r: float, L: float, f_y: float, E: float) -> float:
    """Moment of a Z whose deck is counted on for nothing: it gives way sideways, and turns over within L [N·m]."""
    gross = zed_modulus(depth, flange, t, r, 0.0, E)
    F = zed_buckling_stress(depth, flange, t, L, gross, f_y, E)
    return F * zed_modulus(depth, flange, t, r, F, E) * zed_unheld(depth, flange, t)


def web_shear_nominal(h: float, t: float, f_y: float, E: float) -> float:
    """Shear that one web, h flat and t thick, holds before it yields or buckles [N].

    0.60 f_y h t up to h / t = √(E k_v / f_y), 0.60 t² √(k_v f_y E) up to 1.51 times that, then 0.904 E k_v t³ / h;
    k_v = 5.34. Source: AISI S100-16 G2.1.
    """
    limit = sqrt(E * _K_V / f_y)
    if h / t <= limit:
        return 0.60 * f_y * h * t
    return 0.60 * t**2 * sqrt(_K_V * f_y * E) if h / t <= 1.51 * limit else 0.904 * E * _K_V * t**3 / h
