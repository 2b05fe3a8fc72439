"""Sections folded of thin sheet: against fibres added up one by one, by hand, and what must never rise or fall."""

from __future__ import annotations

from itertools import pairwise
from math import pi, sqrt

import numpy as np
import pytest
from numpy.typing import NDArray

from anchorcalc.mechanics.thin_sections import (
    angle_leg_share,
    channel_sideways,
    effective_share,
    effective_web,
    hat_modulus,
    hat_resists,
    hat_spread,
    held_stress,
    i_sideways,
    turning_over_stress,
    web_shear_nominal,
    zed_buckling_stress,
    zed_modulus,
    zed_unheld,
)

E = 29_500.0  # ksi, inches throughout
FACES = ("crown", "brims")
Fibres = NDArray[np.float64]


def line(start: complex, end: complex, t: float) -> Fibres:
    """Fibres of a straight stretch: area, x, y down from the top face."""
    at = start + (end - start) * (np.arange(4000) + 0.5) / 4000
    return np.array([np.full(4000, abs(end - start) * t / 4000), at.real, at.imag])


def bend(middle: complex, r: float, t: float, start: float) -> Fibres:
    """Fibres of a quarter of a bend from the angle `start` on."""
    angles = start + pi / 2 * (np.arange(4000) + 0.5) / 4000
    at = middle + (r + t / 2) * np.exp(1j * angles)
    return np.array([np.full(4000, (r + t / 2) * pi / 2 * t / 4000), at.real, at.imag])


def hat_fibres(
    d: float, crown: float, brim: float, t: float, r: float, gap: tuple[float, float], share: float, top: str
) -> Fibres:
    """Half a hat, crown up or brims up, `share` of its top flats (beside the bends) and `gap` of its web left out."""
    out, flat, edge = crown / 2, crown / 2 - r - t, brim - r
    x = out - t / 2
    web = [line(complex(x, r + t), complex(x, gap[0]), t), line(complex(x, gap[1]), complex(x, d - r - t), t)]
    if top == "crown":
        start, edges = flat * (1 - share), edge
        flats = [line(complex(start, t / 2), complex(flat, t / 2), t)]
        flats += [line(complex(out + r, d - t / 2), complex(out + r + edges, d - t / 2), t)]
        bends = [bend(complex(flat, r + t), r, t, -pi / 2), bend(complex(out + r, d - r - t), r, t, pi / 2)]
    else:
        flats = [line(complex(out + r, t / 2), complex(out + r + edge * share, t / 2), t)]
        flats += [line(complex(0, d - t / 2), complex(flat, d - t / 2), t)]
        bends = [bend(complex(out + r, r + t), r, t, pi), bend(complex(flat, d - r - t), r, t, 0.0)]
    return np.concatenate([*web, *flats, *bends], axis=1)


def modulus(fibres: Fibres, d: float) -> tuple[float, float]:
    """Of both halves, and how far down their centre lies."""
    area, _, y = fibres
    middle = float(area @ y / area.sum())
    return 2 * float(area @ (y - middle) ** 2) / max(middle, d - middle), middle


def winter(w: float, t: float, f: float, k: float) -> float:
    slender = 1.0519 / sqrt(k) * w / t * sqrt(f / E)
    return min(1.0, (1 - 0.22 / slender) / slender) if slender > 0.673 else 1.0


@pytest.mark.parametrize(
    ("d", "crown", "brim", "t", "r"),
    [
        (2.0, 2.0, 1.0, 0.1, 0.1),  # nothing of it buckles
        (2.0, 3.0, 1.0, 0.04, 0.08),  # its crown and its brims do
        (4.0, 5.0, 2.0, 0.036, 0.06),  # its webs as well
        (4.3, 5.0, 1.05, 0.036, 0.06),  # brim and web make 3.96 of its depth, a brim alone more than 4
    ],
)
def test_a_hat_is_what_its_fibres_come_to(d: float, crown: float, brim: float, t: float, r: float) -> None:
    f = 50.0
    for top, w, k, b_0 in (("crown", crown - 2 * (r + t), 4.0, crown), ("brims", brim - r, 0.43, brim + t)):
        share, near, far = winter(w, t, f, k), r + t, d - r - t
        gap = (near, near)
        for _ in range(50):
            S, y = modulus(hat_fibres(d, crown, brim, t, r, gap, share, top), d)
            psi, f_1 = (far - y) / (y - near), f * (y - near) / y
            b_e = (far - near) * winter(far - near, t, f_1, 4 + 2 * (1 + psi) ** 3 + 2 * (1 + psi))
            b_1 = b_e / (3 + psi)
            b_2 = b_e / 2 if d / b_0 <= 4 and psi > 0.236 else b_e - b_1 if d / b_0 <= 4 else b_e / (1 + psi) - b_1
            gap = (near + b_1, y - b_2) if b_1 + b_2 < y - near else (near, near)
        assert hat_modulus(d, crown, brim, t, r, f, E, crown_pressed=top == "crown") == pytest.approx(S, rel=1e-3)


def test_a_slender_hat_keeps_less_than_its_whole_section() -> None:
    for crown_pressed in (True, False):
        whole, left = (hat_modulus(2, 3, 1, 0.04, 0.08, f, E, crown_pressed=crown_pressed) for f in (0.0, 50.0))
        assert left < 0.9 * whole


def test_flats_by_hand() -> None:
    # k 4, w/t 69 at 36 ksi of 29 000: λ = 1.052 / 2 · 69 · √(36 / 29000) = 1.2787, ρ = (1 - 0.1720) / 1.2787.
    assert effective_share(2.76, 0.04, 36, 4.0, 29_000) == pytest.approx(0.6475, rel=1e-3)
    assert effective_share(2.76, 0.04, 0.0, 4.0, 29_000) == 1.0
    # A web's k of 23.9 at λ = 1.052 / 4.889 · 80 · √(50 / 29500) = 0.7087: ρ = (1 - 0.3104) / 0.7087, not yet all.
    assert effective_share(8, 0.1, 50, 23.9, E) == pytest.approx(0.9730, rel=1e-3)
    # Web 100 thicknesses, ψ = 1: k = 4 + 16 + 4 = 24; λ = 1.052 / 4.899 · 100 · √(50 / 29500) = 0.8841, ρ = 0.8496:
    # b_e 8.496 in, b_1 a quarter of it, b_2 half; taller than four flanges b_2 half less a quarter.
    assert effective_web(10, 0.1, 50, 1.0, E, 4.0) == pytest.approx((2.124, 4.248), rel=1e-3)
    assert effective_web(10, 0.1, 50, 1.0, E, 4.1) == pytest.approx((2.124, 2.124), rel=1e-3)
    # At ψ = 0.236 itself k = 4 + 2 · 1.8883 + 2.472 = 10.249, λ = 1.3529, ρ = 0.6190: b_1 = 6.19 / 3.236, b_2 the
    # rest; at 0.25 k = 10.406, λ = 1.3426, ρ = 0.6228: b_2 half of it.
    assert effective_web(10, 0.1, 50, 0.236, E, 3.9) == pytest.approx((1.913, 4.277), rel=1e-3)
    assert effective_web(10, 0.1, 50, 0.25, E, 3.9) == pytest.approx((1.916, 3.114), rel=1e-3)
    # Bent little, ψ = 0.2: k = 4 + 2 · 1.728 + 2.4 = 9.856, λ = 1.3796, ρ = 0.6093: b_1 = 6.093 / 3.2, b_2 the rest.
    assert effective_web(10, 0.1, 50, 0.2, E, 3.9) == pytest.approx((1.904, 4.189), rel=1e-3)


def test_brims_that_nothing_holds_spread() -> None:
    # 2 deep, crown 3, brims 1, 0.04 in thick: lines h 1.96, b 2.96, c 1.02, a fifth of the web 0.392 in.
    # D = 29 500 · 0.000064 / 10.92 = 0.1729, K = D / (2.510 + 5.686) = 0.02110; A = 0.05648, off 0.3684 in,
    # I = 0.04 (0.0884 + 0.0205 + 0.0532) = 0.006483: σ = 2 √(0.02110 · 29 500 · 0.006483) / 0.05648 = 71.1 ksi.
    # Of 36 ksi λ 0.7115, χ = 1.47 - 0.723 · 0.7115; of 142.2 ksi λ √2, 0.66 / λ; at 30 ksi, below 0.65, all of it.
    def left(f_y: float) -> float:
        return hat_spread(2, 3, 1, 0.04, f_y, E)

    assert left(36) == pytest.approx(0.9556, rel=1e-3)
    assert left(142.2) == pytest.approx(0.66 / sqrt(2), rel=1e-3)
    assert left(30) == 1.0
    # Brims of 0.6 in: c 0.62, off 0.1899 in, I = 0.04 (0.01986 + 0.00894 + 0.01414) = 0.001718: σ 51.08 ksi, λ 0.8395.
    assert hat_spread(2, 3, 0.6, 0.04, 36, E) == pytest.approx(0.8630, rel=3e-4)


@pytest.mark.parametrize(("sizes", "weaker"), [((2.0, 3.0, 1.0), "brims"), ((0.75, 4.0, 0.5), "crown")])
def test_a_hat_bends_by_its_weaker_face(sizes: tuple[float, float, float], weaker: str) -> None:
    faces = {each: 36 * hat_modulus(*sizes, 0.04, 0.08, 36, E, crown_pressed=each == "crown") for each in FACES}
    faces["brims"] *= hat_spread(*sizes, 0.04, 36, E)
    (other,) = set(FACES) - {weaker}
    assert hat_resists(*sizes, 0.04, 0.08, 36, E) == pytest.approx(faces[weaker])
    assert faces[weaker] < 0.98 * faces[other]


@pytest.mark.parametrize(("d", "b", "t"), [(3.0, 1.75, 0.125), (8.0, 1.25, 0.105), (2.0, 2.0, 0.06)])
def test_a_z_that_nothing_holds_bends_about_both_axes(d: float, b: float, t: float) -> None:
    # Sharp corners at mid thickness: stress A x + B y balances M about the level axis, nothing about the upright one.
    a, h = b - t / 2, d - t
    parts = [line(0j, complex(a, 0), t), line(0j, complex(0, h), t), line(complex(0, h), complex(-a, h), t)]
    area, x, y = np.concatenate(parts, axis=1)
    y = y - h / 2
    inertia = np.array([[area @ (x * x), area @ (x * y)], [area @ (x * y), area @ (y * y)]])
    A, B = np.linalg.solve(inertia, [0.0, 1.0])
    greatest = np.abs(A * x + B * y).max()
    held = h / 2 / inertia[1, 1]
    assert zed_unheld(d, b, t) == pytest.approx(held / greatest, rel=1e-3)


def test_a_z_turns_over_by_hand() -> None:
    # 3 x 1.75 x 1/8, S 0.75, over 56 in: I_yc = 1/8 · 1.6875³ / 3 = 0.2002 in⁴, F = π² · 29 500 · 3 · 0.2002 /
    # (2 · 0.75 · 56²) = 37.18 ksi; of 36 ksi 40 (1 - 360 / (36 · 37.18)) = 29.24 are left.
    def left(L: float) -> float:
        return zed_buckling_stress(3, 1.75, 0.125, L, 0.75, 36, E)

    assert left(56) == pytest.approx(29.24, rel=1e-3)
    assert left(28) == 36  # 148.7 ksi
    assert left(112) == pytest.approx(37.18 / 4, rel=1e-3)
    stresses = [left(L) for L in np.linspace(20, 150, 60)]
    assert stresses == sorted(stresses, reverse=True)


def test_a_rolled_beam_turns_over_where_the_manual_says() -> None:
    # W18x50, AISC Manual table 3-2: at L_r 16.9 ft 0.7 F_y = 35 ksi are left; table 1-1: I_y 40.1 in4, J 1.24 in4,
    # C_w 3040 in6, S_x 88.9 in3 [from memory].
    of = 40.1, 1.24, 3040.0
    assert turning_over_stress(*of, 16.9 * 12, 88.9, 29_000.0) == pytest.approx(35.0, rel=0.01)
    # By hand at twice that, G 11 154: √(29 000 · 40.1 · 11 154 · 1.24 + 224.6² · 40.1 · 3040) · π / (405.6 · 88.9).
    assert turning_over_stress(*of, 2 * 16.9 * 12, 88.9, 29_000.0) == pytest.approx(12.99, rel=0.002)


def test_what_keeps_an_i_and_a_channel_from_turning_over() -> None:
    # W10x12, AISC Manual table 1-1: 9.87 by 3.96 in, t_f 0.210, t_w 0.190: I_y 2.18, C_w 50.9, J 0.0547 with fillets.
    found = i_sideways(9.87, 3.96, 0.21, 0.19)
    assert found.I_y == pytest.approx(2.18, rel=0.01)
    assert found.C_w == pytest.approx(50.9, rel=0.01)
    assert 0.8 < found.J / 0.0547 < 1.0
    # C3x4.1, table 1-5 [from memory], a taper that the flats do not have: I_y 0.191, J 0.0269, C_w 0.307.
    found = channel_sideways(3.0, 1.41, 0.273, 0.17)
    assert sqrt(found.I_y * found.J) == pytest.approx(sqrt(0.191 * 0.0269), rel=0.03)
    assert found.C_w == pytest.approx(0.307, rel=0.04)
    # By hand, 4 x 2 x 1/4 in throughout: b 1.875, h 3.75; middle 0.46875 from the web's: 0.2746 + 0.2060 + 0.2060.
    found = channel_sideways(4.0, 2.0, 0.25, 0.25)
    assert (found.I_y, found.J) == pytest.approx((0.6866, 0.03906), rel=1e-3)
    assert found.C_w == pytest.approx(1.690, rel=1e-3)  # 1.931 · 3.281 / 3.75


def test_stress_that_is_left_by_hand() -> None:
    # 36 ksi: from 100.1 on all of it; at 36 40 (1 - 10/36); from 20.2 on down itself.
    assert [held_stress(F, 36.0) for F in (101.0, 36.0, 20.0)] == pytest.approx([36.0, 28.89, 20.0], rel=1e-3)


def test_what_is_left_of_an_angles_leg_by_hand() -> None:
    # √(36 / 29 000) 0.03523: at 16 t 1.46, so all; at 24 t 2.43 - 1.454; at 33.3 t 0.71 / 1.1763².
    found = [angle_leg_share(slender, 36.0, 29_000.0) for slender in (16.0, 24.0, 100 / 3)]
    assert found == pytest.approx([1.0, 0.976, 0.5148], rel=2e-3)


def test_shear_of_a_web_by_hand() -> None:
    # √(29500 · 5.34 / 50) = 56.13: stocky 0.6 · 50 · 5 · 0.1; h/t 80 in between 0.6 · 0.01 · √(5.34 · 50 · 29500);
    # h/t 100, over 84.8: 0.904 · 29500 · 5.34 · 0.001 / 10.
    assert web_shear_nominal(5, 0.1, 50, E) == pytest.approx(15.0)
    assert web_shear_nominal(8, 0.1, 50, E) == pytest.approx(16.84, rel=1e-3)
    assert web_shear_nominal(10, 0.1, 50, E) == pytest.approx(14.24, rel=1e-3)


def test_thicker_sheet_and_harder_steel_never_hold_less() -> None:
    for sizes in ((2.0, 3.0, 1.0), (4.0, 5.0, 2.0)):
        thicker = [hat_resists(*sizes, t, 0.06, 50, E) for t in np.linspace(0.03, 0.2, 40)]
        assert all(b > a for a, b in pairwise(thicker))
        for way in (True, False):
            harder = [f * hat_modulus(*sizes, 0.04, 0.06, f, E, crown_pressed=way) for f in np.linspace(20, 100, 40)]
            assert all(b > a for a, b in pairwise(harder))
    harder = [f * zed_modulus(6, 2, 0.06, 0.09, f, E) for f in np.linspace(20, 100, 40)]
    assert all(b > a for a, b in pairwise(harder))
