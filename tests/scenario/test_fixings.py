"""Where a deck's screws, planks and rings' bases cannot be what the file says they are."""

from __future__ import annotations

from typing import Any

import pytest

from anchorcalc.catalog.tables import Catalog
from anchorcalc.scenario.crosscheck import cross_faults
from anchorcalc.scenario.model import Scenario
from anchorcalc.scenario.plausible import plausibility_warnings
from tests.conftest import Texts, edited, roadster

HOLD_DOWN = ("deck", "hold_down")
RING = ("mountings", "plated", "ring")
SCREWS = {"screw": "#12 self-drilling", "spacing": "6 in"}


def faults(texts: Texts, catalog: Catalog) -> list[str]:
    found = cross_faults(Scenario.model_validate(texts), catalog)
    return [f"{' › '.join(map(str, path))}: {message}" for path, message in found]


@pytest.mark.parametrize(
    ("path", "sound", "faulty", "told"),
    # the deck is 80 in wide, of two layers of plywood; the ring's base is 4 1/2 in square and rated 1666 lbf
    [
        ((*HOLD_DOWN, "heads_on"), "2", "3", "no layer 3 for the heads to lie on: the deck has 2 layers"),
        ((*HOLD_DOWN, "first_at"), "40 in", "40.1 in", "beyond the middle of the deck, 40 in from its side edge"),
        ((*HOLD_DOWN, "first_at"), "3/8 in", "0.37 in", "nearer than 0.375 in to the edge of a sheet"),
        ((*HOLD_DOWN, "first_at"), "10 mm", "9 mm", "nearer than 0.375 in to the edge of a sheet"),
        ((*RING, "foot"), ["4 1/2 in", "4 1/2 in"], ["4 1/2 in", "4.6 in"], "the foot is larger than the base"),
        ((*RING, "foot"), ["4 1/2 in", "1 in"], ["4.6 in", "1 in"], "the foot is larger than the base"),
        ((*RING, "rated_flat"), "1666 lbf", "1667 lbf", "holds no more along the deck than it is rated"),
        ((*RING, "base_steel"), "304", "305", "no steel '305'; near it: '304'"),
        (("deck", "layers", 0, "fixed", "screw"), "#8 wood screw", "#9 wood screw", "no screw '#9 wood screw'"),
    ],
)
def test_the_place_where_it_becomes_a_fault(
    path: tuple[str | int, ...], sound: Any, faulty: Any, told: str, catalog: Catalog
) -> None:
    texts = edited(roadster(), "deck", "layers", 0, "fixed", value=SCREWS)
    assert faults(edited(texts, *path, value=sound), catalog) == []
    (found,) = faults(edited(texts, *path, value=faulty), catalog)
    assert found.startswith(f"{' › '.join(map(str, path))}: ")
    assert told in found


def test_the_middle_is_that_of_the_narrower_end(catalog: Catalog) -> None:
    texts = edited(roadster(), "deck", "width_front", value="78 in")
    for first, told in (("39 in", False), ("39.1 in", True)):
        found = faults(edited(texts, *HOLD_DOWN, "first_at", value=first), catalog)
        assert any("beyond the middle of the deck, 39 in" in each for each in found) == told


def test_a_ring_with_its_breaking_strength_alone(catalog: Catalog) -> None:
    texts = edited(roadster(), *RING, "breaking", value="5000 lbf")
    del texts["mountings"]["plated"]["ring"]["rated"]
    assert faults(edited(texts, *RING, "rated_flat", value="4999 lbf"), catalog) == []
    (found,) = faults(edited(texts, *RING, "rated_flat", value="5000 lbf"), catalog)
    assert "the working load limit along the deck is not below the breaking strength" in found


@pytest.mark.parametrize("layer", [0, 1])
def test_a_layer_is_fixed_to_one_below(layer: int, catalog: Catalog) -> None:
    found = faults(edited(roadster(), "deck", "layers", layer, "fixed", value=SCREWS), catalog)
    assert any("no layer lies below this one" in each for each in found) == (layer == 1)


@pytest.mark.parametrize(("key", "value"), [("plank_width", "5 1/2 in"), ("screws_per_crossing", "2")])
def test_words_for_planks_belong_to_planks(key: str, value: str, catalog: Catalog) -> None:
    texts = edited(roadster(), "deck", "layers", 1, key, value=value)
    (found,) = faults(texts, catalog)
    assert found == f"deck › layers › 1 › {key}: {key} is a word for planks; softwood-plywood comes in sheets"
    planks = {"panel": "sawn-planks", "thickness": "1 1/2 in", "face_grain": "along"}
    texts["deck"]["layers"][1].update(planks)
    assert faults(texts, catalog) == []


@pytest.mark.parametrize("panel", ["softwood-plywod", "softwood-plywood"])
def test_a_layer_of_no_table_is_told_once(panel: str, catalog: Catalog) -> None:
    texts = edited(roadster(), "deck", "layers", 1, "plank_width", value="5 in")
    texts["deck"]["layers"][1].update(panel=panel, thickness="2 in" if panel == "softwood-plywood" else "3/4 in")
    (found,) = faults(texts, catalog)
    assert "did you mean" in found or "no thickness of softwood-plywood" in found


@pytest.mark.parametrize(
    ("joint", "told"),
    # a tube of 2 x 2 in is 8 in round; five times the thickest usual weld is 2 1/2 in
    [
        ({"weld": "1/8 in", "length": "8 in"}, ""),
        ({"weld": "1/8 in", "length": "8.1 in"}, "longer than once round the cross-member, 8 in"),
        ({"weld": "2.4 in", "length": "4 in"}, ""),
        ({"weld": "2.6 in", "length": "4 in"}, "a weld of 2.6 in cannot be: usual is 0.062 in to 0.5 in"),
    ],
)
def test_a_weld_is_no_longer_than_what_it_holds(joint: dict[str, str], told: str, catalog: Catalog) -> None:
    found = faults(edited(roadster(), "deck", "cross_members", "joint", value=joint), catalog)
    assert any(told in each for each in found) if told else found == []


@pytest.mark.parametrize(
    ("path", "value", "words"),
    [
        ((*HOLD_DOWN, "first_at"), "20 in", "hold-down screw from the side edge is 20 in; usual is 0.375 in to 16 in"),
        ((*RING, "foot"), ["1/4 in", "1 in"], "ring's foot of 'plated' is 0.25 in; usual is 0.5 in to 6 in"),
        ((*RING, "rated_flat"), "100 lbf", "ring of 'plated' along the deck is 100 lbf; usual is 200 lbf to 4,000 lbf"),
        (("deck", "layers", 0, "plank_width"), "14 in", "planks of layer 1 is 14 in; usual is 2.5 in to 11.2 in"),
        (("deck", "layers", 0, "fixed"), {**SCREWS, "spacing": "30 in"}, "screws of layer 1 is 30 in; usual is 1.5 in"),
        (("trailer", "axle_rating"), "30000 lb", "trailer's axles is 30,000 lb; usual is 500 lb to 24,000 lb"),
        (("mountings", "plated", "fasteners", "length"), "9 in", "bolts of 'plated' is 9 in; usual is 0.75 in to 8 in"),
    ],
)
def test_what_is_unusual_is_told_and_taken(
    path: tuple[str | int, ...], value: Any, words: str, catalog: Catalog
) -> None:
    (found,) = plausibility_warnings(Scenario.model_validate(edited(roadster(), *path, value=value)), catalog)
    assert words in found


@pytest.mark.parametrize(
    ("path", "least", "most"),
    # a fifth of the least that is usual and five times the most, of trailers three times the most [lb, in]
    [
        (("trailer", "empty_weight"), "40 lb", "36000 lb"),
        (("trailer", "gross_rating"), "150 lb", "78000 lb"),
        (("trailer", "axle_rating"), "100 lb", "72000 lb"),
        (("mountings", "plated", "fasteners", "length"), None, "40 in"),
        (("mountings", "four screws", "fasteners", "length"), "0.1 in", "30 in"),
        (("mountings", "plated", "ring", "base_thickness"), None, "2.5 in"),
        (("mountings", "plated", "backing", "thickness"), "0.0125 in", "3.75 in"),
        (("mountings", "bolts and washers", "backing", "thickness"), None, "2.5 in"),
        (("straps", "front left", "width"), None, "20 in"),
    ],
)
def test_a_slip_of_weight_or_size_is_refused(
    path: tuple[str | int, ...], least: str | None, most: str, catalog: Catalog
) -> None:
    for end, step in ((least, -0.001), (most, 0.001)):
        if end is None:
            continue
        number, unit = end.split()
        for beyond in (step, -step):
            found = faults(edited(roadster(), *path, value=f"{float(number) * (1 + beyond):.6f} {unit}"), catalog)
            told = [each for each in found if each.startswith(" › ".join(path)) and "cannot be: usual is" in each]
            assert bool(told) == (beyond == step), found


@pytest.mark.parametrize(("kind", "most"), [("rope", 6.25), ("wire rope", 5.0), ("chain", 3.75)])
def test_no_rope_is_as_thick_as_a_mast(kind: str, most: float, catalog: Catalog) -> None:
    for size, cannot_be in ((most * 1.001, True), (most * 0.999, False)):
        strap = {"anchor": "front left", "to": "front left", "kind": kind, "size": f"{size} in"}
        found = faults(edited(roadster(), "straps", "front left", value=strap), catalog)
        assert any(f"a {kind} of" in each for each in found) == cannot_be
