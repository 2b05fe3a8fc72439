"""Conditions: the range in which the verdict would be better, found on variants and true of them."""

from __future__ import annotations

import copy
import re
from collections.abc import Callable

import pytest

from anchorcalc.catalog.tables import Catalog
from anchorcalc.resources import data_folder
from anchorcalc.result import Condition, Result
from anchorcalc.rig.resolve import resolve
from anchorcalc.scenario.model import Scenario
from anchorcalc.units import parse_quantity
from anchorcalc.verdict.check import check_rig
from anchorcalc.verdict.conditions import _all_guesses, _greatest, with_conditions
from tests.conftest import Texts, checked, edited, roadster, texts_of


def mower() -> Texts:
    """A scenario that passes as it is."""
    return copy.deepcopy(texts_of(data_folder("scenarios") / "mower-planks.yaml"))


def conditioned(texts: Texts, catalog: Catalog) -> Result:
    """Result with its conditions."""
    scenario = Scenario.model_validate(texts)
    rig = resolve(scenario, catalog)
    return with_conditions(check_rig(rig), rig, scenario, catalog)


def overlaid() -> Texts:
    """The demo where nobody says whether the deck's screws go through its overlay."""
    texts = roadster()
    del texts["deck"]["hold_down"]["heads_on"]
    return texts


def about(what: str, result: Result) -> Condition:
    """The condition on one thing."""
    return next(each for each in result.conditions if each.what == what)


def test_a_ring_that_only_hand_tension_fails_gets_its_range(catalog: Catalog) -> None:
    texts = mower()
    for strap in texts["straps"].values():
        strap["hand_tension"] = "700 lbf"
    found = about("hand tension", conditioned(texts, catalog))
    assert found.taken == "700 lbf"
    assert found.verdict_then == "pass"
    told = found.passes_if.removeprefix("each strap is ratcheted to no more than ")
    limit = parse_quantity(told, "force")
    for strap in texts["straps"].values():
        strap["hand_tension"] = f"{limit:.6f} N"
    assert checked(texts, catalog).verdict == "pass"
    for strap in texts["straps"].values():
        strap["hand_tension"] = f"{1.1 * limit:.6f} N"
    assert checked(texts, catalog).verdict != "pass"


def test_unrated_hooks_are_a_matter_of_the_vehicle(catalog: Catalog) -> None:
    texts = mower()
    for name in ("front left", "front right"):
        del texts["load"]["tie_points"][name]["rated"]
    result = conditioned(texts, catalog)
    assert result.verdict == "marginal"
    (found,) = result.conditions
    assert found.what == "ratings on the vehicle"
    assert "on the trailer everything passes" in found.passes_if
    limit = found.passes_if.split(" hold ")[1].split(" by ")[0]
    for name in ("front left", "front right"):
        texts["load"]["tie_points"][name]["rated"] = limit
    assert checked(texts, catalog).verdict == "pass"


def test_screws_through_both_layers_are_told(catalog: Catalog) -> None:
    found = about("hold-down screws", conditioned(overlaid(), catalog))
    assert found.passes_if == "the deck's screws go through both layers"
    assert (
        checked(edited(overlaid(), "deck", "hold_down", "heads_on", value="1"), catalog).verdict == found.verdict_then
    )


def found_as(texts: Texts, condition: str | None, catalog: Catalog) -> Result:
    """Checked with the deck's screws in one condition; None where nobody looked."""
    texts["deck"]["hold_down"].pop("condition", None)
    if condition is not None:
        texts["deck"]["hold_down"]["condition"] = condition
    return conditioned(texts, catalog)


def test_screws_that_nobody_looked_at_pass_nothing_that_rust_would_undo(catalog: Catalog) -> None:
    sound, rusted, unseen = (found_as(roadster(), each, catalog) for each in ("sound", "rusted", None))
    assert (sound.verdict, rusted.verdict, unseen.verdict) == ("pass", "fail", "marginal")
    assert unseen.reasons[0] == "Nobody looked at the screws that hold the deck down; if they are rusted it fails."
    assert any("hold_down.condition: sound" in each for each in unseen.helps)
    (found,) = unseen.conditions
    assert (found.key, found.verdict_then) == ("deck_screws", sound.verdict)
    assert unseen.cases == sound.cases


def test_screws_that_nobody_looked_at_pass_nothing_that_a_missing_one_would_undo(catalog: Catalog) -> None:
    own = copy.deepcopy(catalog)
    own.factors["rusted_screw"] = own.factors["rusted_screw"].model_copy(update={"value": "1"})
    found = {each: found_as(roadster(), each, own) for each in ("sound", "rusted", "some missing", None)}
    assert [each.verdict for each in found.values()] == ["pass", "pass", "marginal", "marginal"]
    assert "if some are missing it is marginal" in found[None].reasons[0]


def test_a_deck_that_holds_on_rusted_screws_passes_unseen(catalog: Catalog) -> None:
    strong = roadster()
    strong["load"]["weight"] = "700 lb"
    verdicts = [found_as(copy.deepcopy(strong), each, catalog).verdict for each in ("rusted", "some missing", None)]
    assert verdicts == ["pass", "pass", "pass"]


def test_what_else_would_pass_says_that_the_screws_must_be_sound_too(catalog: Catalog) -> None:
    found = about("hold-down screws", found_as(overlaid(), None, catalog))
    assert found.passes_if.startswith(
        "the deck's screws go through both layers; and each deck screw by a ring is there"
    )
    texts = edited(overlaid(), "deck", "hold_down", "heads_on", value="1")
    assert found_as(texts, "sound", catalog).verdict == found.verdict_then == "pass"


def test_rings_on_the_frame_alone_hang_on_no_screw_of_the_deck(catalog: Catalog) -> None:
    texts = roadster()
    for mounting in texts["mountings"].values():
        mounting.pop("fasteners")
        mounting["backing"] = {"kind": "frame", "weld": "3/16 in", "length": "8 in"}
    unseen = found_as(texts, None, catalog)
    assert not any("screws" in each for each in (*unseen.reasons, unseen.not_checked[0]))


def on_a_plate(base_thickness: str | None) -> Texts:
    """Rings on planks that use four fifths of what they have, with a base that somebody measured or nobody."""
    texts = mower()
    texts["load"]["weight"] = "810 lb"
    plate = texts["mountings"]["plate"]
    plate["ring"] |= {"base": ["4 1/2 in", "4 1/2 in"], "pull_height": "1/2 in"}
    plate["fasteners"]["at"] = {"square": "3.3 in"}
    plate["backing"] |= {"size": ["6 in", "6 in"], "thickness": "1/8 in"}
    plate["ring"].pop("base_thickness")
    if base_thickness is not None:
        plate["ring"]["base_thickness"] = base_thickness
    return texts


def test_bases_that_nobody_measured_pass_nothing_that_thick_ones_would_undo(catalog: Catalog) -> None:
    thin, thick, unsaid = (conditioned(on_a_plate(each), catalog) for each in ("0.1 in", "1/4 in", None))
    assert (thin.verdict, thick.verdict, unsaid.verdict) == ("pass", "marginal", "marginal")
    assert unsaid.cases == thin.cases
    assert unsaid.reasons == ("Nobody measured the bases of the rings; if they are 1/4 in thick it is marginal.",)
    (found,) = unsaid.conditions
    assert (found.key, found.passes_if, found.verdict_then) == (
        "base", "the bases of the rings are measured: 0.1 in thick", "pass",
    )  # fmt: skip
    both = found_as(on_a_plate(None), None, catalog)
    assert [each.key for each in both.requirements if each.verdict != "pass"] == ["deck_screws", "bases"]
    (found,) = both.conditions
    assert found.passes_if.endswith("not rusted; and the bases of the rings are measured: 0.1 in thick")


def test_straps_rated_unlike_pass_nothing_that_straps_alike_would_undo(catalog: Catalog) -> None:
    """A strap rated low for its hook alone is as stiff as the others and takes as much as they do."""

    def pulls(result: Result) -> list[float]:
        return [state.tension for case in result.cases for state in case.straps]

    light = edited(roadster(), "load", "weight", value="1200 lb")
    unlike = edited(light, "straps", "front left", "rated", value="340 lbf")
    found = conditioned(unlike, catalog)
    assert (found.verdict, found.conditions) == ("marginal", ())
    assert found.reasons[0].startswith("Straps of one size are rated unlike; if the lowest is rated so for its hook")
    assert all(state.verdict == "pass" for case in found.cases for state in case.straps)
    as_stiff = check_rig(resolve(Scenario.model_validate(unlike), catalog).with_stiffest_straps())
    assert as_stiff.verdict == "fail"
    assert pulls(as_stiff) == pytest.approx(pulls(checked(light, catalog)))
    # Rated twice as high, it passes both ways; of another width it is no such strap.
    assert checked(edited(unlike, "straps", "front left", "rated", value="700 lbf"), catalog).verdict == "pass"
    assert checked(edited(unlike, "straps", "front left", "width", value="1 in"), catalog).verdict == "pass"


@pytest.mark.parametrize("texts", [mower, roadster])
def test_a_pass_that_a_firm_pull_undoes_says_how_tight_its_straps_may_be(
    texts: Callable[[], Texts], catalog: Catalog
) -> None:
    (found,) = conditioned(texts(), catalog).conditions
    assert (found.key, found.verdict_then) == ("hand_tension", "pass")
    most, firm = (float(each) for each in re.findall(r"(\d+) lbf", found.passes_if))
    verdicts = {}
    for tension in (most, most + 75, firm):  # told in steps of 50 lbf, sought in halves of it
        tight = texts()
        for strap in tight["straps"].values():
            strap["hand_tension"] = f"{tension} lbf"
        verdicts[tension] = checked(tight, catalog).verdict
    assert verdicts[most] == "pass"
    assert verdicts[most + 75] != "pass"
    assert verdicts[firm] in ("marginal", "fail")
    assert ("it fails" in found.passes_if) == (verdicts[firm] == "fail")


def test_other_passes_have_no_conditions_and_nothing_is_promised_where_none_helps(catalog: Catalog) -> None:
    strong = roadster()
    strong["load"]["weight"] = "800 lb"
    assert checked(strong, catalog).verdict == "pass"
    assert conditioned(strong, catalog).conditions == ()
    unheld = texts_of(data_folder("scenarios") / "cart-held-endways-only.yaml")
    assert conditioned(unheld, catalog).conditions == ()


@pytest.mark.parametrize("value", ["1 1/2 in", "3 in"])
def test_the_place_of_the_first_screw_that_is_told_passes(value: str, catalog: Catalog) -> None:
    found = about("first hold-down screw", conditioned(overlaid(), catalog))
    verdict = checked(edited(overlaid(), "deck", "hold_down", "first_at", value=value), catalog).verdict
    shown = {"1 1/2 in": "1.5 in", "3 in": "3 in"}[value]
    assert (shown in found.passes_if) == (verdict == "pass")


@pytest.mark.parametrize(("run", "edge"), [("across", "side edge"), ("lengthwise", "front or rear end")])
def test_the_first_screw_is_told_from_where_the_rows_begin(run: str, edge: str, catalog: Catalog) -> None:
    texts = roadster()
    if run == "lengthwise":
        texts["deck"]["cross_members"] |= {"run": run, "beams": ["0 in", "64 in", "128 in", "192 in"]}
        del texts["deck"]["cross_members"]["rails"]
    scenario = Scenario.model_validate(texts)
    assert {guess.words for guess in _all_guesses(scenario, catalog, "in") if guess.key == "first_at"} == {
        f"the first hold-down screw stands {{}} from the {edge}"
    }
    (taken,) = (each for each in checked(texts, catalog).assumed if each.what.startswith("first hold-down screw"))
    assert taken.what == f"first hold-down screw from the {edge}"
    assert f"a whole spacing from the {edge}" in taken.why
    odd = checked(edited(texts, "deck", "hold_down", "first_at", value="20 in"), catalog).odd
    assert any(each.startswith(f"Distance of the first hold-down screw from the {edge} is 20 in") for each in odd)


def test_rails_nobody_measured_are_told_for_rings_on_the_frame(catalog: Catalog) -> None:
    """Rings welded to the members 37 in off the middle: rails 40 in apart leave 17 in of overhang, 80 in none."""
    texts = roadster()
    texts["load"]["weight"] = "2300 lb"
    texts["deck"]["layers"] = [{**layer, "face_grain": "along"} for layer in texts["deck"]["layers"] * 2]
    del texts["trailer"], texts["deck"]["cross_members"]["rails"]
    texts["mountings"]["welded"] = {
        "ring": {"rated": "3000 lbf", "base": ["2 in", "4 in"], "pull_height": "1/2 in"},
        "backing": {"kind": "frame", "weld": "1/4 in", "length": "12 in"},
    }
    for name, anchor in texts["anchors"].items():
        at = ["168 in" if "front" in name else "24 in", "37 in" if "left" in name else "-37 in"]
        anchor.update(at=at, mounting="welded")
    found = about("main rails", conditioned(texts, catalog))
    assert found.passes_if == "the main rails are 60 in or 80 in apart"
    for rails in ("60 in", "80 in"):
        assert checked(edited(texts, "deck", "cross_members", "rails", value=rails), catalog).verdict == "pass"


@pytest.mark.parametrize(
    ("known", "beyond", "most", "found"),
    [
        (11.2, 80.0, 40.0, 40.0),
        (11.2, 80.0, 49.9, 40.0),
        (11.2, 80.0, 12.0, 11.2),  # no whole step reaches
        (11.2, 80.0, 79.0, 70.0),  # 80 does not
        (35.0, 82.0, 81.0, 80.0),
        (35.0, 38.0, 37.0, 35.0),  # no whole step between the two
        (40.0, 400.0, 399.0, 390.0),
    ],
)
def test_the_greatest_whole_step_that_reaches(known: float, beyond: float, most: float, found: float) -> None:
    asked: list[float] = []

    def reaches(value: float) -> bool:
        asked.append(value)
        return value <= most

    assert _greatest(10.0, known, beyond, reaches) == pytest.approx(found)
    assert len(asked) <= 6
    assert all(known < each < beyond for each in asked)
