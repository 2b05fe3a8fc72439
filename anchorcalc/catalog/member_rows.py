"""Rows of cross-member sections of steel."""

from __future__ import annotations

from typing import Final, Literal, Self

from pydantic import model_validator

from anchorcalc.catalog.rows import ROUNDED, Row, alike
from anchorcalc.catalog.values import Modulus, Side, Wall
from anchorcalc.mechanics import thin_sections

_MOST_WEB: Final = 200  # h / t, AISI S100-16 B4.1 [from memory]
_MOST_EDGE: Final = 60  # w / t of a flange with a free edge, the same
_FLANGE_OVER_WEB: Final = 1.75  # a rolled channel's flange over its web: 1.6 in C3x4.1 and C4x5.4 [from memory]


class Member(Row):
    """A cross-member section; `width` is the face the deck lies on, `thickness` that of its leg, wall or flange.

    Hats and Z are folded of thin sheet: what of them is effective hangs on the steel, so that they have no S of their
    own but the inside `radius` of their bends, and a hat the `brim` on either side, from the web's outside to its edge.
    A channel or an I may have a thinner `web`.
    """

    SAME = "shape, size and thickness"

    shape: Literal["angle", "channel", "hat", "i", "tube", "z"]
    depth: Side
    width: Side
    thickness: Wall
    web: Wall | None = None
    S: Modulus | None = None
    radius: Wall | None = None
    brim: Side | None = None

    def is_twin_of(self, other: Self) -> bool:
        """By its outline."""
        names = ("depth", "width", "thickness", "brim")
        pairs = ((getattr(self, each) or 0.0, getattr(other, each) or 0.0) for each in names)
        return self.shape == other.shape and alike(*pairs)

    @property
    def folded(self) -> bool:
        """Whether it is folded of thin sheet, which buckles before it yields."""
        return self.shape in ("hat", "z")

    @property
    def clear_inside(self) -> float:
        """From the middle of its face to the web, or to the bend before it, as a nut under the face finds it [m].

        Nothing where the web is under the middle. Of the fillet of a rolled section no table says anything.
        """
        return 0.0 if self.shape == "i" else self.width / 2 - self.thinnest - (self.radius or 0.0)

    @property
    def thinnest(self) -> float:
        """Thickness of its thinnest part [m]."""
        return self.thickness if self.web is None else self.web

    def resists(self, f_y: float, E: float, L: float) -> float:
        """Moment when it first yields [N·m]; `L` between what keeps its lower flange from turning over sideways [m]."""
        sizes = self.thickness, self.radius or 0.0
        if self.shape == "hat":
            return thin_sections.hat_resists(self.depth, self.width, self.brim or 0.0, *sizes, f_y, E)
        if self.shape == "z":
            return thin_sections.zed_resists(self.depth, self.width, *sizes, L, f_y, E)
        S = self.S or 0.0
        if self.shape in ("channel", "i"):
            f_y = min(f_y, self._turns_over(f_y, E, L))
        return f_y * S * self._flats_left(f_y, E)

    def _turns_over(self, f_y: float, E: float, L: float) -> float:
        """Stress at which a channel or an I turns over sideways, its lower flange held at the ends of L alone [Pa]."""
        sizes = self.depth, self.width, self.thickness, self.thinnest
        found = (thin_sections.channel_sideways if self.shape == "channel" else thin_sections.i_sideways)(*sizes)
        return thin_sections.held_stress(thin_sections.turning_over_stress(*found, L, self.S or 0.0, E), f_y)

    def _flats_left(self, f_y: float, E: float) -> float:
        """Share of S that is left to it where its flats buckle before it yields [-]."""
        t, d, b = self.thickness, self.depth, self.width
        if self.shape == "angle":  # the upright's edge is the farthest from the axis
            return thin_sections.angle_leg_share(d / t, f_y, E)
        if self.shape == "tube":
            flange, k = b - 2 * t, thin_sections.STIFFENED
        else:
            flange, k = (b - self.thinnest) / (2 if self.shape == "i" else 1), thin_sections.UNSTIFFENED
        web = thin_sections.effective_share(d - 2 * t, self.thinnest, f_y, thin_sections.WEB_BENT, E)
        return thin_sections.effective_share(flange, t, f_y, k, E) * web

    def shears(self, f_y: float, E: float) -> float:
        """Shear that the webs of folded sheet hold before they buckle [N]; those of other sections are never asked."""
        if not self.folded:
            return float("inf")
        flat = self.depth - 2 * (self.thickness + (self.radius or 0.0))
        return (2 if self.shape == "hat" else 1) * thin_sections.web_shear_nominal(flat, self.thickness, f_y, E)

    @model_validator(mode="after")
    def _web_of_its_shape(self) -> Self:
        if self.web is not None and self.shape not in ("channel", "i"):
            raise ValueError("web is a word for a channel or an i")
        if self.web is not None and self.web > self.thickness:
            raise ValueError("web is thicker than thickness, which is the flange's")
        return self

    @model_validator(mode="after")
    def _of_its_shape(self) -> Self:
        if not self.folded:
            if self.S is None or self.radius is not None or self.brim is not None:
                raise ValueError(f"of a section of shape {self.shape} give S; radius and brim are words for hat and z")
            return self
        if self.S is not None or self.radius is None or (self.brim is None) == (self.shape == "hat"):
            wanted = "radius and brim" if self.shape == "hat" else "radius alone"
            raise ValueError(f"of a section of shape {self.shape} give {wanted}: S comes of them and of the steel")
        bends, free = 2 * (self.radius + self.thickness), self.width if self.brim is None else self.brim
        if bends > min(self.depth, self.width) or free <= self.radius + self.thickness:
            raise ValueError("radius and thickness leave no flat between its bends")
        if self.depth - bends > _MOST_WEB * self.thickness or free > _MOST_EDGE * self.thickness:
            raise ValueError(f"thickness is less than {1 / _MOST_WEB:g} of a web or 1/{_MOST_EDGE} of a free flange")
        if self.shape == "hat" and self._upright():
            raise ValueError("a hat stiffer upright than sideways may turn over under its deck, which is not reckoned")
        return self

    def _upright(self) -> bool:
        """Whether a hat bends harder about the horizontal axis than about the upright one; lines at mid thickness."""
        h, b, c = self.depth - self.thickness, self.width - self.thickness, self.brim or 0.0
        y = h * (b + h) / (b + 2 * h + 2 * c)
        upright = b * (h - y) ** 2 + 2 * c * y**2 + 2 * (h**3 / 12 + h * (h / 2 - y) ** 2)
        sideways = b**3 / 12 + h * b**2 / 2 + 2 * (c**3 / 12 + c * (b + c) ** 2 / 4)
        return upright > sideways

    @model_validator(mode="after")
    def _no_more_than_sharp(self) -> Self:
        """No section bends harder than one of its shape and thickness with sharp corners."""
        if self.thickness > min(self.depth, self.width) / 2:
            raise ValueError("thickness is more than half of the section")
        if self.S is not None and ROUNDED * self._sharp_modulus() < self.S:
            raise ValueError(f"S is more than a sharp-cornered {self.shape} of that size and thickness has")
        return self

    def _sharp_modulus(self) -> float:
        """S with sharp corners about the horizontal axis, the vertical leg of an angle pointing down [m³]."""
        b, h, t = self.width, self.depth, self.thickness
        if self.shape == "angle":
            flat, upright = b * t, (h - t) * t
            middle = (flat * (h - t / 2) + upright * (h - t) / 2) / (flat + upright)
            inertia = flat * (t**2 / 12 + (h - t / 2 - middle) ** 2)
            inertia += upright * ((h - t) ** 2 / 12 + ((h - t) / 2 - middle) ** 2)
            return inertia / max(middle, h - middle)
        flange = _FLANGE_OVER_WEB * t if self.shape == "channel" and self.web is None else t
        walls = 2 * t if self.shape == "tube" else t  # of rolled ones fillets make up for a thinner web
        return (b * h**3 - (b - walls) * max(h - 2 * flange, 0.0) ** 3) / (6 * h)
