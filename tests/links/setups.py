"""Set-ups for the tests of the links: one deck, one ring, few words, and the links as pounds by their keys."""

from __future__ import annotations

import copy
import math
from typing import Any, NamedTuple

import numpy as np
import pytest
from msgspec.structs import replace
from numpy.typing import NDArray

from anchorcalc.catalog.tables import Catalog
from anchorcalc.links.path import anchor_strength
from anchorcalc.result.strength import AnchorStrength, Link
from anchorcalc.rig.resolve import resolve
from anchorcalc.rig.rig import Rig
from anchorcalc.scenario.model import Scenario

Texts = dict[str, Any]
FloatArray = NDArray[np.float64]

LBF = 4.4482216152605
INCH = 0.0254
PSI = LBF / INCH**2
CATALOG = Catalog()
UP = (0.0, 0.0, 1.0)


class Held(NamedTuple):
    """What a link holds [lbf]."""

    breaking: float
    working: float
    code: float = math.nan  # what may be asked of it daily by the code alone, no more than what breaks it


def inches(value: float) -> str:
    return f"{value!r} in"


def pull_at(degrees: float, *, way: float = 0.0) -> tuple[float, float, float]:
    """Unit pull so many degrees above the deck, `way` degrees round from straight ahead."""
    flat, turn = math.cos(math.radians(degrees)), math.radians(way)
    return flat * math.cos(turn), flat * math.sin(turn), math.sin(math.radians(degrees))


def plywood(thickness: str = "3/4 in", grain: str | None = "along", **more: Any) -> Texts:
    layer = {"panel": "softwood-plywood", "thickness": thickness, "condition": "sound", **more}
    return layer if grain is None else {**layer, "face_grain": grain}


def plank_layer(thickness: str = "1 1/2 in", **more: Any) -> Texts:
    """Planks that run along, two screws of each into every member."""
    along = {"face_grain": "along", "condition": "sound", "screws_per_crossing": "2"}
    return {"panel": "sawn-planks", "thickness": thickness, **along, **more}


def deck(
    *layers: Texts,
    spacing: float = 16.0,
    first: float = 8.0,
    section: str = "tube-2x2x1/8",
    hold: float = 8.0,
    screw: str = "#12 self-drilling",
    first_screw: float | None = 2.0,
    heads_on: int | None = 1,
    **more: Any,
) -> Texts:
    """A deck 72 in wide and 144 in long, members at 8, 24, 40 … in."""
    hold_down: Texts = {"screw": screw, "spacing": inches(hold)}
    if first_screw is not None:
        hold_down["first_at"] = inches(first_screw)
    if heads_on is not None:
        hold_down["heads_on"] = str(heads_on)
    members = {"section": section, "spacing": inches(spacing), "first_at": inches(first), "steel": "mild"}
    return {
        "width": "72 in",
        "length": "144 in",
        "layers": list(layers) or [plywood()],
        "layers_joined": "loose",
        "cross_members": {**members, "rails": "56 in"},
        "hold_down": hold_down,
        **more,
    }


def ring(base: tuple[float, float] = (4.5, 4.5), height: float = 0.5, **more: Any) -> Texts:
    return {"rated": "5000 lbf", "base": [inches(x) for x in base], "pull_height": inches(height), **more}


def screws(
    size: str = "#14", length: str = "1 1/2 in", kind: str = "wood screw", at: Texts | None = None, **of_ring: Any
) -> Texts:
    fasteners = {"kind": kind, "size": size, "length": length, "holes": "new", "at": at or {"square": "3 1/4 in"}}
    return {"ring": ring(**of_ring), "fasteners": fasteners, "backing": {"kind": "none"}}


def bolted(
    backing: Texts, size: str = "3/8-16", grade: str = "SAE 5", at: Texts | None = None, **of_ring: Any
) -> Texts:
    fasteners = {"kind": "bolt", "size": size, "grade": grade, "at": at or {"square": "3 1/4 in"}}
    return {"ring": ring(**of_ring), "fasteners": fasteners, "backing": backing}


def washers(outside: str = "1 1/2 in", thickness: str = "1/16 in", steel: str = "mild") -> Texts:
    return {"kind": "washers", "outside": outside, "thickness": thickness, "steel": steel}


def plate(side: float, thickness: str, steel: str = "mild", wide: float | None = None) -> Texts:
    return {
        "kind": "plate",
        "size": [inches(side), inches(wide or side)],
        "thickness": thickness,
        "steel": steel,
    }


def setup(on: Texts, mounting: Texts, *places: tuple[float, float]) -> Texts:
    """A light cart with a strap on every ring; the rings stand at `places` [in], on the `mounting`."""
    names = [f"ring {number}" for number in range(1, len(places) + 1)]
    return {
        "title": "one ring",
        "rules": "us-road",
        "units": "us",
        "load": {
            "name": "cart",
            "weight": "600 lb",
            "centre_of_gravity": ["72 in", "0 in", "20 in"],
            "wheels": {"one": ["52.5 in", "1 in"], "other": ["88 in", "1 in"]},
            "tie_points": {name: {"at": ["72 in", "0 in", "30 in"], "rated": "5000 lbf"} for name in names},
        },
        "deck": copy.deepcopy(on),
        "mountings": {"it": copy.deepcopy(mounting)},
        "anchors": {
            name: {"at": [inches(x), inches(y)], "mounting": "it"} for name, (x, y) in zip(names, places, strict=True)
        },
        "straps": {
            name: {"anchor": name, "to": name, "kind": "webbing", "width": "2 in", "rated": "3333 lbf"}
            for name in names
        },
    }


def rig_of(texts: Texts) -> Rig:
    return resolve(Scenario.model_validate(texts), CATALOG)


def strength(
    on: Texts, mounting: Texts, at: tuple[float, float], pull: tuple[float, float, float] = UP, factor: float = 3.0
) -> AnchorStrength:
    """Of a ring at `at` [in] under rules with a design factor of their own."""
    rig = rig_of(setup(on, mounting, at))
    rules = rig.basis.rules.model_copy(update={"design_factor": factor})
    return anchor_strength(rig.anchors["ring 1"], np.array(pull), replace(rig.basis, rules=rules))


def links(
    on: Texts, mounting: Texts, at: tuple[float, float] = (64.0, 12.0), pull: tuple[float, float, float] = UP
) -> dict[str, Held]:
    """Every link of a ring at `at` [in] by its key [lbf]."""
    by_code = strength(on, mounting, at, pull, 1.0).links
    return in_pounds(strength(on, mounting, at, pull).links, by_code)


def in_pounds(found: tuple[Link, ...], by_code: tuple[Link, ...] = ()) -> dict[str, Held]:
    code = {link.key: link.working / LBF for link in by_code}
    return {link.key: Held(link.breaking / LBF, link.working / LBF, code.get(link.key, math.nan)) for link in found}


def shares(found: Held, breaking: float, daily: float, within: float = 0.01) -> None:
    """Whether a link breaks there and is asked for no more daily than the code allows, or a third of what breaks it."""
    assert found.breaking == pytest.approx(breaking, rel=within)
    assert found.code == pytest.approx(min(breaking, daily), rel=within)
    assert found.working == pytest.approx(min(breaking / 3, daily), rel=within)
