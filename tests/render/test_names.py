"""Long names are cut, kept apart, and found again within sentences."""

from __future__ import annotations

from anchorcalc.catalog.tables import Catalog
from anchorcalc.render.names import Names
from tests.conftest import rig_of, roadster

CATALOG = Catalog()


def _names(*anchors: str) -> Names:
    texts = roadster()
    for anchor in anchors:
        texts["anchors"][anchor] = {"at": ["96 in", "0 in"], "mounting": "plated"}
    return Names(rig_of(texts, CATALOG))


def test_short_names_stay() -> None:
    names = _names()
    assert names.short("front left") == "front left"
    assert names.within("strap front left loads 'ring' to 90 %") == "strap front left loads 'ring' to 90 %"


def test_long_names_alike_at_the_start_stay_apart() -> None:
    first, second = "x" * 190 + "1", "x" * 190 + "2"
    names = _names(first, second)
    assert names.short(first) != names.short(second)
    assert max(len(names.short(first)), len(names.short(second))) <= 52
    sentence = names.within(f"{second} and {first}.")
    assert sentence == f"{names.short(second)} and {names.short(first)}."


def test_a_long_name_within_a_longer_one() -> None:
    inner = "y" * 60
    outer = f"before {inner} after"
    names = _names(inner, outer)
    assert names.within(f"anchor {outer}: fail") == f"anchor {names.short(outer)}: fail"
