"""Ten mountings unlike each other, to draw templates of."""

from __future__ import annotations

import copy
from typing import Any

from anchorcalc.catalog.tables import Catalog
from anchorcalc.fitting.sheet import fitting
from anchorcalc.render.draw.template import Template, template_of
from anchorcalc.render.fitting_words import Refusal
from tests.conftest import Texts, rig_of, roadster

MILD_PLATE = {"kind": "plate", "thickness": "1/4 in", "steel": "mild"}
WASHERS = {"outside": "1 1/2 in", "thickness": "0.08 in", "steel": "mild"}
SCREW = {"kind": "wood screw", "size": "#14", "length": "1 1/2 in", "holes": "new"}


def _ring(along: str, across: str) -> Texts:
    return {"rated": "1666 lbf", "base": [along, across], "pull_height": "1/2 in"}


def _bolts(at: Any, size: str = "1/2-13") -> Texts:
    return {"kind": "bolt", "size": size, "grade": "SAE 5", "at": at}


STRIP = [[f"{x} in", f"{y} in"] for y in (-17.5, -10.5, -3.5, 3.5, 10.5, 17.5) for x in (-0.5, 0.5)]
SKEW = [["2 in", "1 in"], ["2 in", "-1 1/2 in"], ["-1 5/8 in", "0 in"]]
TEN: dict[str, Texts] = {
    "seven inch plate": {
        "ring": _ring("5 in", "5 in"), "fasteners": _bolts({"square": "4 in"}),
        "backing": MILD_PLATE | {"size": ["7 in", "7 in"]},
    },
    "long plate": {
        "ring": _ring("9 in", "4 in"), "fasteners": _bolts({"rectangle": ["8 in", "3 in"]}),
        "backing": MILD_PLATE | {"size": ["9 1/2 in", "5 in"]},
    },
    "wide plate": {
        "ring": _ring("4 in", "9 in"), "fasteners": _bolts({"rectangle": ["3 in", "8 in"]}),
        "backing": MILD_PLATE | {"size": ["5 in", "9 1/2 in"]},
    },
    "large plate": {
        "ring": _ring("4 1/2 in", "4 1/2 in"), "fasteners": _bolts({"rectangle": ["9 in", "16 in"]}),
        "backing": MILD_PLATE | {"size": ["14 in", "20 in"]},
    },
    "skew plate": {
        "ring": _ring("5 in", "5 in"), "fasteners": _bolts({"points": SKEW}),
        "backing": MILD_PLATE | {"size": ["6 in", "6 in"]},
    },
    "strip on screws": {
        "ring": _ring("2 in", "38 in"), "fasteners": SCREW | {"at": {"points": STRIP}}, "backing": {"kind": "none"},
    },
    "small ring": {
        "ring": _ring("2 in", "2 in"), "fasteners": _bolts({"square": "1 1/4 in"}, "1/4-20"),
        "backing": WASHERS | {"kind": "washers", "outside": "1 in"},
    },
    "recessed": {
        "ring": _ring("5 in", "5 in"), "cut_out": ["2 1/2 in", "2 in"], "fasteners": _bolts({"square": "4 in"}),
        "backing": WASHERS | {"kind": "washers"},
    },
    "bars": {
        "ring": _ring("4 1/2 in", "4 1/2 in"), "fasteners": _bolts({"square": "3 1/4 in"}),
        "backing": {"kind": "bridge", "width": "2 in", "thickness": "1/2 in", "steel": "mild", "bars": "2"},
    },
    "through the member": {
        "ring": _ring("4 1/2 in", "4 1/2 in"), "fasteners": _bolts({"square": "3 in"}),
        "backing": {"kind": "member", "through": "front", "walls": "both", "washer": WASHERS},
    },
}  # fmt: skip


def set_up(name: str) -> Texts:
    """The roadster with one of the ten under every ring."""
    texts = roadster()
    texts["mountings"][name] = copy.deepcopy(TEN[name])
    for anchor in texts["anchors"].values():
        anchor["mounting"] = name
        if name == "through the member":  # its front row of bolts is 1 1/2 in ahead of the ring
            anchor["at"] = ["166 1/2 in" if anchor["at"][0] == "172 in" else "22 1/2 in", anchor["at"][1]]
    return texts


def drawn(texts: Texts, mounting: str, catalog: Catalog, refused: Refusal | None = None) -> Template:
    """Template of one mounting, taken by every anchor."""
    for anchor in texts["anchors"].values():
        anchor["mounting"] = mounting
    rig = rig_of(texts, catalog)
    return template_of(rig, mounting, fitting(rig).mountings[0], refused)
