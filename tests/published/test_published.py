"""All checks against the world outside: the rows that `verify` shows, and what they leave open.

A row names a function of the mechanics, its inputs with units, the published value, a tolerance with its reason,
the clause, and how the value is known; see `anchorcalc.proof.published`.
"""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from msgspec import Struct
from msgspec.structs import replace

import anchorcalc.mechanics
from anchorcalc.proof.published import TAGS, WIDEST, Check, counted, outcome, published_checks, si

CHECKS = published_checks()

# What nothing published was found for, and what holds it instead.
NONE_PUBLISHED = {
    "bearing.effective_diameter": "a sum of lengths; hand values in its rows",
    "bearing.hull_perimeter": "geometry; hand values in its rows",
    "bearing.hull_perimeter_on_plate": "geometry; hand values in its rows",
    "bearing.plate_reach": "worked examples print it without all that goes in; hand values of EN 1993-1-8 eq. (6.5)",
    "bearing.pull_through_strength": "no tests with washers that can be read; tests/mechanics/test_bearing.py, by hand",
    "bearing.washer_pull_through": "a search over the diameter; tests/mechanics/test_bearing.py, by hand",
    "dowels.embedment_plywood_bolt_ec5": "examples found are of solid wood; hand value of EN 1995-1-1 eq. (8.36)",
    "dowels.washer_couple": "statics of a half disc; hand value in tests/links/test_hand_worked.py",
    "dowels.embedment_strands_bolt_ec5": "no example found; hand value of eq. (8.37): tests/links/test_timber.py",
    "dowels.embedment_strands_screw_ec5": "no example found; hand value of eq. (8.22): tests/links/test_timber.py",
    "dowels.embedment_across_ec5": "hand value of EN 1995-1-1 eqs. (8.31), (8.33): tests/links/test_timber.py",
    "dowels.embedment_wood_screw_ec5": "hand values of EN 1995-1-1 eqs. (8.15), (8.32): tests/links/test_timber.py",
    "dowels.wood_to_wood_ec5": "held to the modes of NDS, which are published: tests/links/test_timber.py",
    "members.beam_stability_nds": "hand values of NDS 3.3.3: tests/mechanics/test_members.py",
    "members.simple_beam_moment": "statics: tests/mechanics/test_members.py, by hand",
    "members.continuous_beam_moment": "beam tables from memory: tests/links/test_lengthwise.py, by hand",
    "members.splitting_ec5": "hand value of EN 1995-1-1 eq. (8.4): tests/links/test_timber.py",
    "screws.withdrawal": "one of four that have their values, by the kind of screw",
    "dowels.embedment_plywood_screw_ec5": "hand value of EN 1995-1-1 eq. (8.20) for a book's gusset",
    "dowels.end_moment": "statics of a short couple; hand value",
    "dowels.moving_ends": "hand values of EN 1995-1-1 eq. (8.9), (8.10); tests/mechanics/test_dowels.py",
    "dowels.moving_ends_through_plate": "no code has it; tests/mechanics/test_dowels.py, against NDS mode II",
    "dowels.rope_effect": "hand value of EN 1995-1-1, 8.2.2(2)",
    "dowels.row_share_ec5": "hand values of EN 1995-1-1 eqs. (8.17), (8.34): tests/links/test_hand_worked.py",
    "dowels.screw_effective_diameter_ec5": "a factor of EN 1995-1-1, 8.7.1(3)",
    "dowels.staying_end": "hand value of EN 1995-1-1 eq. (8.13); tests/mechanics/test_dowels.py, a beam",
    "dowels.staying_end_through_plate": "no code has it; hand value, and tests/mechanics/test_dowels.py",
    "dowels.steel_plate_lateral_ec5": "hand values of EN 1995-1-1 eq. (8.9), (8.10)",
    "floor.Floor": "our own method; tests/mechanics/test_floor.py, tests/mechanics/test_floor_reference.py",
    "floor.bed_edges": "geometry; tests/mechanics/test_floor.py",
    "floor_sections.Sections": "geometry of cuts; tests/mechanics/test_floor.py",
    "floor_sections.shears_beside": "geometry of cuts; tests/mechanics/test_floor.py, three spans",
    "free_plate.inverse_triangle": "algebra; tests/mechanics/test_free_plate.py, against numpy",
    "line_search.share_of_step": "a general method; tests/mechanics/test_line_search.py, by hand",
    "members.fillet_weld_nominal": "tests/mechanics/test_members.py, by hand and the AISC Manual's rule from memory",
    "members.holed_flange_aisc": "hand values of AISC 360 F13.1: tests/links/test_hand_worked.py",
    "members.washer_turns_inside_out": "hand values; tests/links/test_hand_worked.py",
    "members.tube_wall_yield_line": "no worked example found that can be read; hand values of AISC 360 chapter K",
    "one_sided.OneSidedSprings": "a general method; tests/mechanics/test_base.py, tests/mechanics/test_floor.py",
    "outline.barred_shifts": "geometry; tests/fitting/test_clearance.py",
    "outline.covered": "geometry; tests/links/test_shared_bases.py",
    "outline.deck_edges": "geometry; tests/fitting/test_clearance.py",
    "outline.gap": "geometry; tests/fitting/test_clearance.py",
    "outline.outline": "geometry; tests/fitting/test_clearance.py",
    "outline.turned": "geometry; tests/links/test_shared_bases.py",
    "outline.half_width_at": "geometry; tests/render/test_plan.py",
    "panels.gross_bending_resistance": "a definition (ASTM D3043); hand value",
    "panels.shared_resistance": "our own rule; hand value",
    "plate_body.Assembly": "a general method; tests/mechanics/test_floor_reference.py",
    "plate_body.Coupled": "a general method; tests/mechanics/test_floor_reference.py",
    "plate_body.PlateBody": "a general method; tests/mechanics/test_floor_reference.py",
    "plate_body.disc": "geometry; tests/mechanics/test_floor.py",
    "plate_body.graded_lines": "geometry; tests/mechanics/test_floor.py, halved cells",
    "plate_body.span_means": "geometry; tests/mechanics/test_floor.py",
    "plate_body.widths_at": "geometry; tests/mechanics/test_floor.py",
    "plates.orthotropic_rigidities": "tests/mechanics/test_plates.py, the series of section 85 and hand values",
    "screws.bite": "lengths by NDS 12.1.4; tests/mechanics/test_screws.py, by hand",
    "screws.combined_slant": "no worked example found; hand values of NDS 12.4.1",
    "screws.deck_screw_sideways": "NDS has no screw held in steel; tests/mechanics/test_screws.py, by hand",
    "screws.lateral_reference_held": "NDS has no held ends; tests/mechanics/test_screws.py, by hand",
    "screws.lift_and_sideways": "no worked example found; tests/mechanics/test_screws.py, hand values of NDS 12.4.1",
    "screws.screw_shear": "a product; hand value in tests/mechanics/test_screws.py",
    "steel_sections.hinge_moments": "a mean; tests/mechanics/test_base.py and tests/sizing/test_bearing.py, statics",
    "steel_sections.SeatSections": "geometry of cuts; tests/mechanics/test_base.py, tests/sizing/test_bearing.py",
    "thin_sections.angle_leg_share": "hand values of AISC 360 F10.3: tests/mechanics/test_thin_sections.py",
    "thin_sections.effective_web": "its flat is published, its parts by hand: tests/mechanics/test_thin_sections.py",
    "thin_sections.hat_resists": "the lesser of two others; tests/links/test_folded.py, by hand",
    "thin_sections.hat_spread": "hand value of EN 1993-1-3 eq. (5.15): tests/mechanics/test_thin_sections.py",
    "thin_sections.channel_sideways": "three values at once; tests/mechanics/test_thin_sections.py, AISC Manual, hand",
    "thin_sections.i_sideways": "three values at once; tests/mechanics/test_thin_sections.py, AISC Manual table 1-1",
    "thin_sections.held_stress": "hand values of AISI S100 F2.1: tests/mechanics/test_thin_sections.py",
    "thin_sections.web_shear_nominal": "AISI S100 G2.1 by hand: tests/mechanics/test_thin_sections.py",
    "thin_sections.zed_buckling_stress": "hand value of AISI S100 F2.1: tests/mechanics/test_thin_sections.py",
    "thin_sections.zed_resists": "a product of three others; tests/links/test_folded.py, by hand",
    "thin_sections.zed_unheld": "unsymmetrical bending: tests/mechanics/test_thin_sections.py, fibre by fibre",
    "statics.nnls": "a general method; tests/mechanics/test_statics.py, against scipy's own",
}


def names(checks: list[Check]) -> set[str]:
    return {name for check in checks for name in (check.function, *check.also)}


def public_mechanics() -> Iterator[tuple[str, object]]:
    """Functions, and classes that compute something."""
    for info in pkgutil.iter_modules(anchorcalc.mechanics.__path__):
        module = importlib.import_module(f"anchorcalc.mechanics.{info.name}")
        for name, member in vars(module).items():
            if name.startswith("_") or getattr(member, "__module__", None) != module.__name__:
                continue
            if inspect.isfunction(member) or (inspect.isclass(member) and computes(member)):
                yield f"{info.name}.{name}", member


def computes(kind: type) -> bool:
    """Whether a class is more than a record: has methods of its own besides properties."""
    record = issubclass(kind, Struct | tuple | Exception)
    own = [name for name, member in vars(kind).items() if inspect.isfunction(member) and not name.startswith("_")]
    return not record and bool(own)


@pytest.mark.parametrize("check", CHECKS, ids=lambda check: f"{check.source.file}: {check.name}")
class TestEveryCheck:
    def test_holds(self, check: Check) -> None:
        found = outcome(check)
        assert found.computed == pytest.approx(found.published, rel=check.tolerance)
        assert found.holds

    def test_is_one(self, check: Check) -> None:
        """A tolerance that lets anything pass, or a value without a source, would be none."""
        assert 0 < check.tolerance <= WIDEST
        assert outcome(check).published != 0
        assert check.tag in TAGS
        for words in (check.source.document, check.source.publisher, check.clause, check.why):
            assert words.strip()

    def test_would_notice_a_tenth(self, check: Check) -> None:
        found = outcome(check)
        for factor in (0.9, 1.1):
            assert not replace(found, computed=factor * found.computed).holds


def test_no_two_checks_are_the_same() -> None:
    seen = [(check.function, check.case, str(check.inputs), check.output) for check in CHECKS]
    assert len(set(seen)) == len(seen)
    assert len({(check.source.file, check.name) for check in CHECKS}) == len(CHECKS)


def test_at_least_a_hundred_published_values_over_at_least_twenty_sources() -> None:
    counts = counted(CHECKS)
    published = counts["read"] + counts["from memory"]
    assert published >= 100
    assert counts["from memory"] <= published / 3
    assert len({(check.source.document, check.source.publisher) for check in CHECKS if check.counts}) >= 20


def test_values_of_one_mode_count_once() -> None:
    first = next(check for check in CHECKS if check.tag == "read")
    alike = [replace(first, mode="III", name=name) for name in "abc"]
    assert counted(alike) == {"read": 1}
    assert counted([replace(each, mode=each.name) for each in alike]) == {"read": 3}
    assert counted([replace(each, mode=None) for each in alike]) == {"read": 3}
    assert counted([replace(each, tag="computed") for each in alike]) == {"computed": 3}


def test_every_function_of_the_mechanics_is_held_by_a_published_value_or_says_why_not() -> None:
    held = names([check for check in CHECKS if check.counts])
    assert {name for name, _ in public_mechanics()} - held == set(NONE_PUBLISHED)


def test_every_function_named_in_a_row_is_there() -> None:
    known = dict(public_mechanics())
    assert names(CHECKS) <= set(known)


def test_the_tests_that_hold_the_rest_exist() -> None:
    root = Path(__file__).parents[2]
    named = {word.strip(",;") for why in NONE_PUBLISHED.values() for word in why.split() if word.startswith("tests/")}
    assert named
    assert [name for name in named if not (root / name).is_file()] == []


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("3/4 in", 0.01905),
        ("1 1/4 in", 0.03175),
        ("1.5e6 psi", 1.5e6 * 6894.757293),
        ("2 lbf ft", 2.7116358966),
        ("1 in3/ft", 5.3763333333e-05),
        ("4 mm^2", 4e-6),
        ("-0.5", -0.5),
        (3, 3),
        (["1 m", "-2 m"], [1.0, -2.0]),
    ],
)
def test_quantities_are_what_their_units_say(text: object, value: object) -> None:
    """1 in 25.4 mm, 1 lbf 4.4482216 N: 2 · 4.4482216 · 0.3048 = 2.7116; 0.0254³ / 0.3048 = 5.376e-5."""
    assert si(text) == pytest.approx(value, rel=1e-9)


def test_what_is_no_quantity_is_refused() -> None:
    with pytest.raises(ValueError, match="no quantity"):
        si("3//4 in")


def test_words_are_left_as_they_are() -> None:
    assert si("simple") == "simple"
