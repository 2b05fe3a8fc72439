"""The main job: a rig and its rule set to one result."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, NamedTuple

from msgspec.structs import replace

from anchorcalc.fitting.sheet import fitting
from anchorcalc.links.path import Strengths
from anchorcalc.result.check import MountingComparison, Requirement, RequirementKey, Result, by_use
from anchorcalc.result.strength import Verdict, worst
from anchorcalc.result.words import CASE_WORDS
from anchorcalc.rig.resolve import resolve
from anchorcalc.units import length, unit_system
from anchorcalc.verdict.blocking import blocking_notes
from anchorcalc.verdict.fits import fitting_requirements, hitch_warnings
from anchorcalc.verdict.forces import Forces
from anchorcalc.verdict.gaps import missing_fasteners
from anchorcalc.verdict.helps import help_lines
from anchorcalc.verdict.joints import joints_to_look_for, room_for_joints, windows_of
from anchorcalc.verdict.rules import anchor_limits, older_rule, requirements, rule_of_thumb
from anchorcalc.verdict.states import anchor_state
from anchorcalc.verdict.words import GENERAL_CAUTIONS, not_checked, reasons, tyres_in_the_way, unseen_screws

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.result.fitting import FittingSheet
    from anchorcalc.rig.parts import MountingSetting
    from anchorcalc.rig.rig import Rig
    from anchorcalc.scenario.model import Scenario


_THICK_BASE: Final = 1.2  # times as much used under a thick base as under a thin one [judgement; 560 tried: 1.11]


def check(scenario: Scenario, catalog: Catalog) -> Result:
    """Check every strap and anchor of `scenario` against its rule set."""
    return check_rig(resolve(scenario, catalog))


def compare(scenario: Scenario, catalog: Catalog) -> tuple[MountingComparison, ...]:
    """Each mounting of `scenario` tried on every anchor."""
    return compare_rig(resolve(scenario, catalog))


def compare_rig(rig: Rig, more: Iterable[MountingSetting] = ()) -> tuple[MountingComparison, ...]:
    """Each mounting of `rig`, then each of `more` that it does not describe, tried on every anchor."""
    described = [_compared(rig.with_mounting(name), name) for name in rig.mountings]
    tried = [_compared(rig.with_other(mounting), mounting.name, tried=True) for mounting in more]
    return *described, *tried


def _compared(rig: Rig, name: str, *, tried: bool = False) -> MountingComparison:
    result = check_rig(rig)
    return MountingComparison(
        mounting=name,
        result=result,
        worst_anchor=min(result.anchors, key=lambda anchor: anchor.working),
        worst_case=max(result.cases, key=by_use),
        weight=result.sheet.weights.hardware,
        tried=tried,
    )


def check_rig(rig: Rig) -> Result:
    """Check every strap and anchor of `rig` against its rule set."""
    return check_forces(Forces(rig, Strengths(rig.basis)))


def check_forces(forces: Forces) -> Result:
    """The same of a rig whose forces stand, with strengths that others on its basis share as a rule."""
    result, rig = judged(forces), forces.rig
    return replace(
        result,
        helps=help_lines(result, forces),
        warnings=(
            *rig.odd,
            *missing_fasteners(forces),
            *_of_the_rules(forces),
            *blocking_notes(rig),
            *hitch_warnings(result.sheet.weights, rig.units),
        ),
    )


def judged(forces: Forces, sheet: FittingSheet | None = None, *, screws_sound: bool = False) -> Result:
    """The verdict and all it rests on, without what helps or warns: enough for a trial.

    `sheet` is its fitting sheet, where that is known: hand tension and what friction counts change nothing in it. With
    `screws_sound` those that hold the deck count as looked at where nobody says so.
    """
    rig = forces.rig
    rules, sheet = rig.rules, sheet or fitting(rig)
    cases, own = forces.cases(), forces.along_own_straps()
    thumb = rule_of_thumb(rig, anchor_limits(rig, own, "working"))
    windows = windows_of(rig)
    beside = (
        *older_rule(rig, anchor_limits(rig, own, "breaking")),
        *requirements(rig),
        *fitting_requirements(sheet, rig.units),
        *forces.on_wheels(),
        *room_for_joints(windows, rig),
    )
    rest = worst(thumb.verdict, *(each.verdict for each in beside), "marginal" if rig.unrated else "pass")
    beside = (*beside, *_held_without(forces, rest))
    result = Result(
        title=rig.title,
        rules=rules.name,
        rules_title=rules.title,
        rules_note=rules.note,
        units=rig.units,
        load=rig.load.name,
        weight=rig.load.weight,
        verdict=worst(rest, *(case.verdict for case in cases), *(each.verdict for each in beside)),
        reasons=(),
        helps=(),
        cases=cases,
        anchors=forces.anchors(),
        states=tuple(anchor_state(name, rig, cases, sheet) for name in rig.anchors),
        rule_of_thumb=thumb,
        requirements=beside,
        unrated=rig.unrated,
        assumed=rig.assumed,
        odd=rig.odd,
        warnings=(),
        not_checked=(
            *tyres_in_the_way(rig),
            *unseen_screws(rig),
            *joints_to_look_for(windows, rig),
            *not_checked(rig),
        ),
        cautions=(*GENERAL_CAUTIONS, *rules.cautions),
        rechecks=rules.rechecks,
        own_rows=rig.own_rows,
        sheet=sheet,
        thumb_fraction=rules.rule_of_thumb.fraction_of_weight,
    )
    open_ = tuple(_not_excluded(result, forces, screws_sound=screws_sound))
    if open_:
        verdict = worst(result.verdict, *(each.verdict for each in open_))
        result = replace(result, verdict=verdict, requirements=(*beside, *open_))
    return replace(result, reasons=reasons(result))


def apart_from_ratings(result: Result) -> Verdict:
    """The verdict if parts that nobody rated did not count."""
    parts = (case.verdict for case in result.cases)
    return worst(result.rule_of_thumb.verdict, *parts, *(each.verdict for each in result.requirements))


class _OtherEnd(NamedTuple):
    """A rig with something that nobody gave as it may be as well, beside how it is taken."""

    key: RequirementKey
    what: str
    wanted: str
    so: str
    rig: Rig


def _other_ends(rig: Rig, used: float, *, screws_sound: bool) -> Iterator[_OtherEnd]:
    """What may be otherwise than it is taken, where as taken the hardest strap or the sum is used by a share `used`."""
    if rig.screws_unseen and not screws_sound:
        name, look = "the deck's screws", "looked at by each ring"
        yield _OtherEnd("deck_screws", name, look, "if they are rusted", rig.with_hold_down("rusted"))
        yield _OtherEnd("deck_screws", name, look, "if some are missing", rig.with_hold_down("some missing"))
    alike = rig.with_stiffest_straps()
    if alike is not rig:
        so = "if the lowest is rated so for its hook alone"
        yield _OtherEnd(
            "stretch", "straps of one size that are rated unlike", "replaced by ones rated alike", so, alike
        )
    thick = rig.with_thickest_bases()
    if thick is not rig and used > rig.rules.pass_below / _THICK_BASE:
        most = max(base for mounting in rig.used_mountings for base in mounting.base_may_be[1:])
        shown = length(most, unit_system(rig.units))
        yield _OtherEnd("bases", "bases of the rings", "measured", f"if they are {shown} thick", thick)


def _not_excluded(result: Result, forces: Forces, *, screws_sound: bool) -> Iterator[Requirement]:
    """A pass is none as long as nobody excluded that something is otherwise than it was taken, and would undo it."""
    if apart_from_ratings(result) != "pass":
        return
    told = set()
    thumb = result.rule_of_thumb
    summed = thumb.required / thumb.provided * forces.rig.rules.pass_below
    used = max(summed, *(case.utilisation for case in result.cases))
    for end in _other_ends(forces.rig, used, screws_sound=screws_sound):
        if end.key in told:
            continue
        verdict = apart_from_ratings(judged(Forces(end.rig, forces.strengths), result.sheet, screws_sound=True))
        if verdict != "pass":
            told.add(end.key)
            yield Requirement(
                key=end.key,
                name=end.what,
                required=end.wanted,
                provided=f"{end.so} it {'fails' if verdict == 'fail' else 'is marginal'}",
                verdict="marginal",
                source="our judgement: what decides has to be looked at",
            )


def _of_the_rules(forces: Forces) -> Iterator[str]:
    """What the rule set says of straps over points, and the cases it only advises."""
    rig = forces.rig
    if any(point.bare for point in rig.load.tie_points.values()) or any(each.slides for each in rig.straps.values()):
        yield from rig.rules.over_points
    if rig.advice:
        for case in Forces(rig.advised(), forces.strengths).cases():
            found = f"{100 * case.utilisation:.0f} % of the hardest strap's limit" if case.held else "not held"
            yield f"Advice, no part of the verdict: in {CASE_WORDS[case.case]} {found} ({case.source})."


def _held_without(forces: Forces, rest: Verdict) -> Iterator[Requirement]:
    """A load that only friction or grip holds, or only a stop, cannot pass.

    Wheels roll, decks get wet, a bump lifts both off; a chock creeps or lets go. `rest` is the verdict of all but the
    forces, which they do not change.
    """
    rig = forces.rig
    if rig.load.friction > 0 or max(rig.load.grip) > 0:
        why = "our judgement: friction of wheels on a deck has no published value"
        yield _without(
            "without_friction",
            "the same without counted friction",
            why,
            Forces(rig.without_friction(), forces.strengths),
            rest,
        )
    if any(stop.rated > 0 for stop in rig.load.stops.values()):
        why = "our judgement: nobody sees whether a stop is still where it was, and tight"
        yield _without(
            "without_stops", "the same without its stops", why, Forces(rig.without_stops(), forces.strengths), rest
        )


def _without(key: RequirementKey, name: str, why: str, bare: Forces, rest: Verdict) -> Requirement:
    cases = bare.cases()
    verdict = worst(rest, *(case.verdict for case in cases))
    unheld = ", ".join(dict.fromkeys(CASE_WORDS[case.case] for case in cases if not case.held))
    return Requirement(
        key=key,
        name=name,
        required="pass",
        provided=f"{verdict}; nothing else holds the load in {unheld}" if unheld else verdict,
        verdict="pass" if verdict == "pass" else "marginal",
        source=why,
        cases=cases,
    )
