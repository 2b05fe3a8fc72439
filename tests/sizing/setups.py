"""Set-ups of the demo that the tests of sizing share."""

from __future__ import annotations

import copy

import numpy as np

from anchorcalc.catalog.tables import Catalog
from anchorcalc.links.common import Question
from anchorcalc.links.pull import pull_of
from tests.conftest import Texts, rig_of, roadster

INCH = 0.0254
CATALOG = Catalog()
UP = np.array([0.0, 0.0, 1.0])


def _some_of_the_stock() -> Catalog:
    """Tables with a few sizes of bolts and of plates: what is asked of a search does not hang on how much there is."""
    catalog = Catalog()
    for name, row in catalog.plates.items():
        catalog.plates[name] = row.model_copy(update={"sides": row.sides[::2], "thicknesses": row.thicknesses[1::2]})
    for name in ("1/4-20", "5/16-18", "7/16-14", "5/8-11", "M6", "M8", "M16"):
        del catalog.threads[name]
    return catalog


SOME_STOCK = _some_of_the_stock()


def ask(texts: Texts, direction: np.ndarray = UP) -> Question:
    """Anchor 'front left' of a scenario, pulled along `direction`."""
    rig = rig_of(texts, CATALOG)
    anchor = rig.anchors["front left"]
    return Question(anchor, pull_of(anchor, direction, rig.basis), rig.basis)


def deck(
    *,
    spacing: float = 16,
    share: float = 0.5,
    aside: float = 0,
    grain: str = "across",
    layers: int = 2,
    thickness: str = "3/4 in",
    hold_down: float = 6,
    plate: float = 6,
    panel: str = "softwood-plywood",
) -> Texts:
    """The demo's deck with an anchor at `share` of a bay, `aside` of the middle [in]."""
    texts = roadster()
    bay = int((96 - 8) // spacing)
    texts["anchors"]["front left"]["at"] = [f"{8 + (bay + share) * spacing} in", f"{aside} in"]
    texts["deck"]["cross_members"]["spacing"] = f"{spacing} in"
    texts["deck"]["hold_down"]["spacing"] = f"{hold_down} in"
    layer = {**texts["deck"]["layers"][0], "panel": panel, "thickness": thickness, "face_grain": grain}
    texts["deck"]["layers"] = [copy.deepcopy(layer) for _ in range(layers)]
    texts["mountings"]["plated"]["backing"]["size"] = [f"{plate} in", f"{plate} in"]
    return texts
