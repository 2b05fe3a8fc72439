"""A scenario whose every name tries to break out of the drawing or the page."""

from __future__ import annotations

import copy

from tests.conftest import Texts, roadster

HOSTILE = "</title><script>alert('x')</script>{{ 7*7 }} & \"q\" שלום  2 ".ljust(195, "x")


def hostile_names() -> Texts:
    """The roadster with hostile names for everything that has one, and a deck with zones, joints and a taper."""
    texts = roadster()
    texts["title"], texts["load"]["name"] = HOSTILE + "t", HOSTILE + "l"
    texts["deck"]["width_front"] = "76 in"
    texts["deck"]["layers"][0]["joints_across"] = ["96 in"]
    texts["deck"]["layers"][1]["joints_along"] = ["12 in"]
    texts["deck"]["wheel_wells"] = [zone(HOSTILE + "w", ("60 in", "30 in"), ("96 in", "38 in"))]
    texts["deck"]["no_go"] = [zone(HOSTILE + "n", ("160 in", "-38 in"), ("175 in", "-20 in"))]
    texts["mountings"][HOSTILE + "m"] = copy.deepcopy(texts["mountings"]["plated"])
    texts["anchors"][HOSTILE + "a"] = texts["anchors"].pop("front left") | {"mounting": HOSTILE + "m"}
    texts["load"]["tie_points"][HOSTILE + "p"] = texts["load"]["tie_points"].pop("front left")
    del texts["load"]["tie_points"][HOSTILE + "p"]["rated"]
    texts["load"]["wheels"][HOSTILE + "v"] = texts["load"]["wheels"].pop("front left")
    strap = texts["straps"].pop("front left") | {"anchor": HOSTILE + "a", "to": HOSTILE + "p"}
    texts["straps"][HOSTILE + "s"] = strap
    return texts


def zone(name: str, corner: tuple[str, str], opposite: tuple[str, str]) -> Texts:
    """A zone as the scenario file has it."""
    return {"name": name, "corner": list(corner), "opposite": list(opposite)}
