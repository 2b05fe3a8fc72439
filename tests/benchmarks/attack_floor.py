"""Looks for wrong passes: many random set-ups of one ring, each against what must hold whatever the figures.

A set-up is altered for the worse (or turned round) and may not come out as holding more, but for the error of the
cells. Known to break it: a screw of the deck right beside a ring takes more than its share of an elastic lift, so that
without it the next ones may hold up to a fifth more ("wider spacing", "first screw not given"). Prints every set-up
that breaks a rule, as the YAML to repeat it with.

python -m tests.benchmarks.attack_floor --seed 1 --count 200
"""

from __future__ import annotations

import argparse
import copy
import math
import random
import re
import time
from collections import Counter
from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

import numpy as np
import yaml
from pydantic import ValidationError

from anchorcalc.links.path import anchor_strength
from anchorcalc.result.strength import Link
from anchorcalc.scenario.crosscheck import cross_faults
from anchorcalc.scenario.model import Scenario
from tests.links.setups import CATALOG, inches, rig_of, setup

Texts = dict[str, Any]
Pull = tuple[float, float, float]
DECK_LINKS = ("panel_bending", "hold_down", "deck_slides")
CELLS = 0.04  # of the discretisation
SHEAR_CELLS = 0.04
RAW_FIGURE = re.compile(r"\d\.\d{5,}")


class Case(NamedTuple):
    """A set-up, where its ring stands and how it is pulled."""

    texts: Texts
    pull: Pull

    def with_deck(self, change: Callable[[Texts], None]) -> Case:
        """The same with its deck changed."""
        texts = copy.deepcopy(self.texts)
        change(texts["deck"])
        return Case(texts, self.pull)


class Broken(NamedTuple):
    """A rule and how it is broken."""

    rule: str
    how: str


# --- set-ups --------------------------------------------------------------------------------------------------


def random_case(dice: random.Random) -> Case:
    """A set-up that the reader accepts."""
    while True:
        texts = setup(_deck(dice), _mounting(dice), _place(dice))
        try:
            scenario = Scenario.model_validate(texts)
        except ValidationError:
            continue
        if not cross_faults(scenario, CATALOG):
            up = dice.choice([0.0, 5.0, 20.0, 30.0, 45.0, 70.0, 90.0])
            way = dice.choice([0.0, 180.0, 35.0, 215.0, 90.0])
            flat = math.cos(math.radians(up))
            turn = math.radians(way)
            return Case(texts, (flat * math.cos(turn), flat * math.sin(turn), math.sin(math.radians(up))))


def _deck(dice: random.Random) -> Texts:
    layers = [_layer(dice) for _ in range(dice.choice([1, 1, 2, 2, 3]))]
    members: Texts = {
        "section": dice.choice(["tube-2x2x1/8", "angle-2x2x3/16", "angle-1.5x1.5x1/8", "channel-3x4.1"]),
        "spacing": inches(dice.choice([10.0, 12.0, 16.0, 19.2, 24.0, 32.0, 48.0])),
        "first_at": inches(dice.choice([0.0, 1.0, 4.0, 8.0, 14.0])),
        "steel": "mild",
    }
    if dice.random() < 0.6:
        members["rails"] = inches(dice.choice([40.0, 56.0, 70.0]))
    hold: Texts = {
        "condition": "sound",
        "screw": dice.choice(["#8 self-drilling", "#12 self-drilling", "1/4 in self-drilling"]),
        "spacing": inches(dice.choice([3.0, 6.0, 8.0, 12.0, 24.0])),
    }
    if dice.random() < 0.6:
        hold["first_at"] = inches(dice.choice([0.5, 1.0, 3.0, 6.0]))
    if dice.random() < 0.5:
        hold["heads_on"] = str(dice.randint(1, len(layers)))
    deck: Texts = {
        "width": "72 in",
        "length": inches(dice.choice([96.0, 120.0, 144.0])),
        "layers": layers,
        "layers_joined": "loose",
        "cross_members": members,
        "hold_down": hold,
    }
    if dice.random() < 0.15:
        deck["width_front"] = inches(dice.choice([40.0, 60.0, 80.0]))
    if dice.random() < 0.15:
        x, y = dice.uniform(10, 90), dice.choice([-36.0, -20.0, 20.0, 36.0])
        corner = [inches(round(x, 1)), inches(y)]
        deck["wheel_wells"] = [
            {"name": "well", "corner": corner, "opposite": [inches(round(x + 24, 1)), inches(y - math.copysign(9, y))]}
        ]
    return deck


def _layer(dice: random.Random) -> Texts:
    panel = dice.choice(["softwood-plywood", "softwood-plywood", "osb", "birch-plywood", "sawn-planks"])
    thickness = {
        "softwood-plywood": ["15/32 in", "5/8 in", "3/4 in", "1 1/8 in"],
        "osb": ["7/16 in", "23/32 in"],
        "birch-plywood": ["12 mm", "18 mm", "27 mm"],
        "sawn-planks": ["3/4 in", "1 1/2 in"],
    }[panel]
    layer: Texts = {"panel": panel, "thickness": dice.choice(thickness), "condition": _condition(dice)}
    if dice.random() < 0.8:
        layer["face_grain"] = dice.choice(["along", "across"])
    if dice.random() < 0.25:
        layer["joints_across"] = [inches(dice.choice([24.0, 40.0, 48.0, 56.0, 60.5]))]
    if dice.random() < 0.15:
        layer["joints_along"] = [inches(dice.choice([0.0, 12.0, -24.0]))]
    if panel == "sawn-planks" and dice.random() < 0.5:
        layer["plank_width"] = inches(dice.choice([3.5, 5.5, 7.25, 11.25]))
    if dice.random() < 0.2:
        layer["fixed"] = {"screw": "#8 wood screw", "spacing": "12 in"}
    return layer


def _condition(dice: random.Random) -> str:
    return dice.choice(["sound", "sound", "sound", "weathered", "wet", "decayed"])


def _mounting(dice: random.Random) -> Texts:
    side = dice.choice([3.5, 4.5, 6.0])
    base, at = (side, side), {"square": inches(side - 1.3)}
    kind = dice.choice(["screws", "lags", "washers", "plate", "bars", "member", "strip", "row"])
    ring: Texts = {"rated": "2000 lbf", "pull_height": inches(dice.choice([0.25, 0.5, 1.0, 2.0, 3.0, 5.0]))}
    if dice.random() < 0.6:
        ring["base_thickness"] = inches(dice.choice([0.1, 0.25, 0.5]))
    if kind in ("strip", "row"):
        base, at = (38.0, 4.0), {"points": [[inches(round(-18 + 3.6 * k, 2)), "0 in"] for k in range(11)]}
    if kind == "row":
        base, at = base[::-1], {"points": [list(reversed(each)) for each in at["points"]]}
    ring["base"] = [inches(x) for x in base]
    screws: Texts = {"kind": "wood screw", "size": dice.choice(["#8", "#14"]), "length": "1 1/2 in", "holes": "new"}
    if kind == "lags":
        screws = {
            "kind": "lag screw",
            "size": "5/16 in",
            "length": dice.choice(["1 in", "2 in", "3 in"]),
            "holes": "new",
        }
    if kind in ("screws", "lags", "strip", "row"):
        return {"ring": ring, "fasteners": {**screws, "at": at}, "backing": {"kind": "none"}}
    bolts = {"kind": "bolt", "size": dice.choice(["5/16-18", "3/8-16"]), "grade": "SAE 5", "at": at}
    steel: Texts = {"thickness": dice.choice(["1/16 in", "1/8 in", "1/4 in"]), "steel": "mild"}
    washer = {"outside": dice.choice(["7/8 in", "1 1/4 in", "1 1/2 in"]), **steel}
    backing: Texts = {
        "washers": {"kind": "washers", **washer},
        "plate": {"kind": "plate", "size": [inches(side + 2), inches(side + dice.choice([1.0, 5.0]))], **steel},
        "bars": {"kind": "bridge", "width": "2 in", **steel, "bars": "1"},
        "member": {"kind": "member", "through": dice.choice(["front", "rear", "all"]), "washer": washer},
    }[kind]
    return {"ring": ring, "fasteners": bolts, "backing": backing}


def _place(dice: random.Random) -> tuple[float, float]:
    x = dice.choice([dice.uniform(2, 140), dice.choice([24.0, 40.0, 48.0, 56.0, 3.0])])
    y = dice.choice([dice.uniform(-34, 34), dice.choice([0.0, 12.0, -12.0, 33.0, -33.0])])
    return round(x, 2), round(y, 2)


# --- rules ----------------------------------------------------------------------------------------------------


def held(case: Case) -> dict[str, Link]:
    """The links of the ring."""
    rig = rig_of(case.texts)
    return {link.key: link for link in anchor_strength(rig.anchors["ring 1"], np.array(case.pull), rig.basis).links}


def broken_rules(case: Case) -> Iterator[Broken]:
    """Every rule that a set-up breaks."""
    before = held(case)
    yield from _sane(before)
    yield from _same("mirrored across", before, held(_mirrored(case)), 1e-4)
    for name, worse, keys in _worse(case):
        try:
            after = held(worse)
        except ValidationError:
            continue
        yield from _no_more(name, before, after, keys)


def _sane(links: dict[str, Link]) -> Iterator[Broken]:
    for key, link in links.items():
        if not (0 <= link.working <= link.breaking) or math.isnan(link.breaking):
            yield Broken("sane", f"{key}: breaking {link.breaking}, working {link.working}")
        if RAW_FIGURE.search(link.remark):
            yield Broken("words", f"{key}: {link.remark}")
        if link.breaking == 0 and not link.remark:
            yield Broken("words", f"{key}: holds nothing without a reason")


def _mirrored(case: Case) -> Case:
    texts = copy.deepcopy(case.texts)
    place = texts["anchors"]["ring 1"]["at"]
    place[1] = _turned(place[1])
    for layer in texts["deck"]["layers"]:
        layer["joints_along"] = [_turned(y) for y in layer.get("joints_along", [])]
    for well in texts["deck"].get("wheel_wells", []):
        for corner in ("corner", "opposite"):
            well[corner][1] = _turned(well[corner][1])
    x, y, z = case.pull
    return Case(texts, (x, -y, z))


def _turned(length: str) -> str:
    return length[1:] if length.startswith("-") else f"-{length}"


def _worse(case: Case) -> Iterator[tuple[str, Case, tuple[str, ...] | None]]:
    """Changes for the worse, each with the links it may not help; all where None."""
    deck, mounting = case.texts["deck"], case.texts["mountings"]["it"]
    hold, layers = deck["hold_down"], deck["layers"]
    spacing = float(hold["spacing"].split()[0])
    if "first_at" in hold:
        yield "wider spacing", case.with_deck(lambda d: d["hold_down"].update(spacing=inches(2 * spacing))), DECK_LINKS
        if float(hold["first_at"].split()[0]) <= spacing:
            yield "first screw not given", case.with_deck(lambda d: d["hold_down"].pop("first_at")), DECK_LINKS
    if "heads_on" in hold:
        yield "heads not given", case.with_deck(lambda d: d["hold_down"].pop("heads_on")), DECK_LINKS
    if any("face_grain" in layer for layer in layers):
        yield "grain not given", case.with_deck(_forget_grain), None
    if any(layer["condition"] == "sound" for layer in layers):
        yield "weathered", case.with_deck(_weather), None
    taller = copy.deepcopy(case.texts)
    height = float(mounting["ring"]["pull_height"].split()[0])
    taller["mountings"]["it"]["ring"]["pull_height"] = inches(1.5 * height)
    # Near the member ahead a couple may ease the deck's own links; never the ring's fasteners on wood.
    yield "taller ring", Case(taller, case.pull), ("withdrawal", "screw_steel", "screw_slant")
    if "base_thickness" not in mounting["ring"]:
        return
    if mounting["backing"]["kind"] == "plate" and mounting["backing"]["thickness"] == "1/4 in":
        thin = copy.deepcopy(case.texts)
        thin["mountings"]["it"]["backing"]["thickness"] = "1/8 in"
        yield (
            "thinner plate",
            Case(thin, case.pull),
            ("pull_through", "crush", "punch_out", "nut_through_plate", "plate_bends"),
        )


def _forget_grain(deck: Texts) -> None:
    for layer in deck["layers"]:
        layer.pop("face_grain", None)


def _weather(deck: Texts) -> None:
    for layer in deck["layers"]:
        if layer["condition"] == "sound":
            layer["condition"] = "weathered"


def _same(rule: str, one: dict[str, Link], other: dict[str, Link], within: float) -> Iterator[Broken]:
    for key, link in one.items():
        for level in ("breaking", "working"):
            a, b = getattr(link, level), getattr(other.get(key), level, math.nan)
            if a != b and not abs(a - b) <= within * abs(a):
                yield Broken(rule, f"{key}: {level} {a:.6g} and {b:.6g} N")


def _no_more(
    rule: str, before: dict[str, Link], after: dict[str, Link], keys: tuple[str, ...] | None
) -> Iterator[Broken]:
    for key, link in before.items():
        if key not in after or (keys is not None and key not in keys):
            continue
        error = SHEAR_CELLS if key == "rolling_shear" else CELLS
        for level in ("breaking", "working"):
            a, b = getattr(link, level), getattr(after[key], level)
            if b > a * (1 + error):
                yield Broken(f"{rule}: {key}", f"{level} {a:.1f} N before, {b:.1f} N after")


# --- running --------------------------------------------------------------------------------------------------


def main() -> None:
    """Print what breaks, and how often."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--count", type=int, default=100)
    parser.add_argument("--show", type=int, default=2, help="set-ups shown for each rule")
    given = parser.parse_args()
    tally: Counter[str] = Counter()
    empty = 0
    start = time.perf_counter()
    for number in range(given.count):
        case = random_case(random.Random(f"{given.seed}/{number}"))
        try:
            broken = list(broken_rules(case))
        except Exception as error:  # whatever breaks is what is looked for
            broken = [Broken(f"raised {type(error).__name__}", str(error))]
        for rule, how in broken:
            tally[rule] += 1
            if tally[rule] <= given.show:
                print(f"# {number}: {rule}: {how}\npull: {case.pull}")
                print(yaml.safe_dump({k: case.texts[k] for k in ("deck", "mountings", "anchors")}, sort_keys=False))
        empty += any("holds nothing" in each.how for each in broken)
    print(f"{given.count} set-ups in {time.perf_counter() - start:.0f} s")
    for rule, count in tally.most_common():
        print(f"{count:5d}  {rule}")


if __name__ == "__main__":
    main()
