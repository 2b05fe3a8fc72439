"""Sizing: the vectorised strengths, what fits, the choices and what is said about them."""

from __future__ import annotations

import copy
import itertools
from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace
from numpy.typing import NDArray

from anchorcalc.catalog.tables import Catalog
from anchorcalc.links.path import anchor_strength
from anchorcalc.result import AnchorStrength
from anchorcalc.result.size import SizeAnswer, Wanted
from anchorcalc.rig.parts import AnchorSetting, Bars, Bearing, PlateSeat, ThroughSteel, WasherSeat
from anchorcalc.rig.rig import Basis
from anchorcalc.sizing import search as stock_search
from anchorcalc.sizing.search import Choice, StockSearch
from anchorcalc.sizing.size import Backed, SizeError, as_ring, backed, by_thickness, needed, pull_direction, size
from anchorcalc.sizing.stock import Stock, misfits, stock, strengths, with_choice
from anchorcalc.verdict.check import check_rig
from tests.conftest import Texts, edited, rig_of, roadster
from tests.sizing.setups import CATALOG, INCH, SOME_STOCK, deck

ON_DECK = ("washers", "plate")
TABLED = 0.01  # cells of the floor move with the plate: what a table says may be so much above what is computed
DIRECTIONS = {"up": (0.0, 0.0, 1.0), "slanted": (-0.6, 0.3, 0.74), "low": (0.9, -0.3, 0.25)}


def asked(texts: Texts) -> tuple[AnchorSetting, Basis]:
    rig = rig_of(texts, CATALOG)
    return rig.anchors["front left"], rig.basis


def place(texts: Texts, anchor: str | None = "front left", mounting: str | None = None) -> Backed:
    return backed(rig_of(texts, CATALOG), anchor, mounting)


def sized(texts: Texts, working: float, direction: str = "strap", tables: Catalog = SOME_STOCK) -> SizeAnswer:
    at = place(texts)
    way = pull_direction(at, direction)
    return size(at, tables, way, Wanted(working, 0.0, "as asked"))


def on_member() -> Texts:
    """The demo with its front bolts over a cross-member."""
    return edited(roadster(), "anchors", "front left", "at", value=["166.375 in", "20 in"])


PLACES = {"the demo": roadster, "a wide bay": lambda: deck(spacing=24, aside=20), "on a member": on_member}


# --- all of the stock at once ---------------------------------------------------------------------------------


def some(stocked: Stock, fitting: NDArray[np.bool_], *threads: str) -> NDArray[np.bool_]:
    """What fits with some of the bolt sizes only."""
    return fitting & np.isin([thread.name for thread in stocked.threads], threads)


@pytest.mark.parametrize(
    ("where", "series", "direction", "thread"),
    [
        ("the demo", "inch", "slanted", "1/2-13"),
        ("a wide bay", "metric", "up", "M10"),
        ("on a member", "inch", "low", "3/8-16"),
    ],
)
def test_no_strength_is_above_that_of_the_choice_by_itself(
    where: str, series: Any, direction: str, thread: str
) -> None:
    """The search asks the deck for a few plates and takes a choice for the largest that it covers: never too much.

    Under this it may be: a plate spreads the pull on the deck better than the next smaller one in the table.
    """
    anchor, basis = asked(PLACES[where]())
    way = np.array(DIRECTIONS[direction]) / np.linalg.norm(DIRECTIONS[direction])
    stocked = stock(CATALOG, anchor, series)
    fitting = some(stocked, misfits(stocked, anchor, basis) == "", thread)
    found = strengths(stocked, anchor, way, basis, fitting)
    threads = [each.name for each in stocked.threads]
    columns = np.array([threads.index(bolts.size) for bolts in stocked.bolts])
    pairs = np.argwhere(fitting[:, columns])
    sample = pairs[np.random.default_rng(7).choice(len(pairs), 8, replace=False)]
    for row, column in sample:
        alone = anchor_strength(with_choice(anchor, stocked.backings[row], stocked.bolts[column]), way, basis)
        assert 0.5 * alone.working <= found.working[row, column] <= alone.working * (1 + TABLED)
        assert 0.5 * alone.breaking <= found.breaking[row, column] <= alone.breaking * (1 + TABLED)
    assert not found.working[~fitting[:, columns]].any()


@pytest.fixture(scope="module")
def roomy() -> tuple[Any, Any, np.ndarray]:
    anchor, basis = asked(deck(spacing=24, aside=20))
    stocked = stock(CATALOG, anchor, "inch")
    fitting = misfits(stocked, anchor, basis) == ""
    asked_of = some(stocked, fitting, "3/8-16")
    return stocked, strengths(stocked, anchor, np.array(DIRECTIONS["slanted"]), basis, asked_of), fitting


@pytest.mark.parametrize("what", ["thicker", "longer", "wider"])
def test_a_thicker_or_larger_plate_never_holds_less(roomy: tuple[Any, Any, np.ndarray], what: str) -> None:
    stocked, found, _ = roomy
    lines: dict[Any, list[tuple[float, int]]] = {}
    for row, backing in enumerate(stocked.backings):
        if isinstance(backing, Bearing) and isinstance(backing.seat, PlateSeat):
            plate = backing.seat
            sides = {"thicker": plate.thickness, "longer": plate.size[0], "wider": plate.size[1]}
            grows = sides.pop(what)
            lines.setdefault((plate.steel.name, *sides.values()), []).append((grows, row))
    for line in lines.values():
        rows = [row for _, row in sorted(line)]
        for level in (found.working, found.breaking):
            # A stiffer plate may hand its lift on nearer to a screw: by less than the cells of the floor are exact to.
            assert (np.diff(level[rows], axis=0) >= -0.005 * level[rows][1:]).all()
    assert any(len(line) > 4 for line in lines.values())


def test_a_stronger_grade_never_holds_less(roomy: tuple[Any, Any, np.ndarray]) -> None:
    stocked, found, _ = roomy
    for one, bolts in enumerate(stocked.bolts):
        for other, better in enumerate(stocked.bolts):
            if better.size == bolts.size and better.grade.tensile >= bolts.grade.tensile:
                assert (found.working[:, other] >= found.working[:, one] * (1 - 1e-9)).all()


def test_the_stock_is_large(roomy: tuple[Any, Any, np.ndarray]) -> None:
    stocked, _, fitting = roomy
    assert len(stocked.backings) * len(stocked.bolts) > 20_000
    kinds = {backing.kind for backing in stocked.backings}
    assert kinds == {"washers", "plate", "bridge"}
    assert fitting.any(axis=0).all()


# --- what fits ------------------------------------------------------------------------------------------------


def why(texts: Texts, backing: Any, bolt: str = "1/2-13") -> str:
    """Why `backing` does not fit with `bolt`."""
    anchor, basis = asked(texts)
    stocked = stock(CATALOG, anchor, "inch")
    row = stocked.backings.index(backing)
    column = [thread.name for thread in stocked.threads].index(bolt)
    return str(misfits(stocked, anchor, basis)[row, column])


def plate(length: float, width: float) -> Bearing:
    row = CATALOG.plates["inch plate"]
    along, across = (next(s for s in row.sides if abs(s - x * INCH) < 1e-9) for x in (length, width))
    return Bearing(PlateSeat((along, across), row.thicknesses[1], CATALOG.steel("A36")))


def test_a_plate_smaller_than_its_bolt_pattern_is_left_out() -> None:
    assert why(deck(), plate(3, 6)) == "is too small for the bolts"
    # Bolts 3 1/4 in apart: on a 4 in plate 3/8 in is left to the edge, less than half a nut.
    assert why(deck(), plate(4, 6)) == "is too small for the bolts"
    assert why(deck(), plate(5, 6)) == ""


def test_a_plate_that_fouls_a_cross_member_is_left_out() -> None:
    # 16 in bays and 2 in faces leave 7 in on either side of the middle, 3 in at a quarter of the bay.
    assert why(deck(share=0.5), plate(12, 6)) == ""
    assert why(deck(share=0.25), plate(6, 6)) == ""
    assert why(deck(share=0.25), plate(8, 6)) == "fouls a cross-member"


def test_a_plate_beyond_the_edge_of_the_deck_is_left_out() -> None:
    assert why(deck(aside=34), plate(6, 12)) == ""
    assert why(deck(aside=35), plate(6, 12)) == "fouls the left edge"


def test_wheel_wells_and_zones_are_left_clear() -> None:
    texts = deck(share=0.5)
    x = float(texts["anchors"]["front left"]["at"][0].split()[0])
    zone = {"name": "brake line", "corner": [f"{x - 5} in", "2.9 in"], "opposite": [f"{x + 5} in", "4 in"]}
    texts["deck"]["no_go"] = [zone]
    assert why(texts, plate(5, 5)) == ""
    assert why(texts, plate(6, 6)) == "fouls the zone brake line"


def test_a_place_where_the_ring_itself_is_in_the_way_is_said() -> None:
    texts = deck(aside=39)
    assert why(texts, plate(5, 5)) == "cannot help: the base fouls the left edge"
    answer = sized(texts, 1000.0, "up")
    assert answer.verdict == "fail"
    assert any("the base fouls the left edge" in sentence for sentence in answer.sentences)


def test_bars_are_left_out_where_they_do_not_lie_under_the_bolts() -> None:
    anchor, basis = asked(deck())
    stocked = stock(CATALOG, anchor, "inch")
    reasons = misfits(stocked, anchor, basis)
    column = [thread.name for thread in stocked.threads].index("1/2-13")
    for row, backing in enumerate(stocked.backings):
        if isinstance(backing, Bars):
            # One bar must take both columns, 3 1/4 in apart with edges; two of 4 in would overlap.
            fits = backing.count == 2 and backing.width < 3.25 * INCH
            assert (reasons[row, column] == "") == fits


def test_bolts_over_a_cross_member_go_through_it() -> None:
    anchor, basis = asked(on_member())
    stocked = stock(CATALOG, anchor, "inch")
    through = [backing for backing in stocked.backings if isinstance(backing, ThroughSteel)]
    assert {backing.through for backing in through} == {"front"} or {backing.through for backing in through} == {"rear"}
    reasons = misfits(stocked, anchor, basis)
    on_deck = [isinstance(backing, Bearing) for backing in stocked.backings]
    assert (reasons[on_deck] != "").all()


# --- choices --------------------------------------------------------------------------------------------------


def test_choices_hold_what_is_wanted_lightest_first_and_none_beats_another() -> None:
    answer = sized(roadster(), 2000.0)
    assert answer.verdict == "pass"
    assert len(answer.choices) > 1
    for choice in answer.choices:
        assert choice.strength.working >= 2000.0
        assert choice.strength.working == min(link.working for link in choice.strength.links)
    weights = [choice.weight for choice in answer.choices]
    assert weights == sorted(weights)
    for lighter_number, lighter in enumerate(answer.choices):
        for heavier in answer.choices[lighter_number + 1 :]:
            assert heavier.strength.working > lighter.strength.working or heavier.metal < lighter.metal


def test_nothing_lighter_in_stock_would_do() -> None:
    answer = sized(roadster(), 2600.0, tables=CATALOG)
    anchor, basis = asked(roadster())
    stocked = stock(CATALOG, anchor, "inch")
    fitting = misfits(stocked, anchor, basis) == ""
    fitting = some(stocked, fitting, "3/8-16", "1/2-13")
    closed = strengths(stocked, anchor, np.array(answer.direction), basis, fitting)
    first = answer.choices[0]
    for row, column in np.argwhere(closed.working >= 2600.0):
        backing, bolts = stocked.backings[row], stocked.bolts[column]
        if isinstance(backing, Bearing) and isinstance(backing.seat, WasherSeat):
            metal = 4 * np.pi / 4 * backing.seat.outside**2 * backing.seat.thickness
            shortest = anchor.floor.thickness + anchor.mounting.base_thickness
            assert metal + np.pi * bolts.D**2 * shortest >= 0.7 * first.metal


def test_weight_of_a_plate_and_its_bolts() -> None:
    search = search_of(deck(spacing=24, layers=3, hold_down=3, share=0.5), 2500.0, "up")
    plates = [choice.shown for choice in plates_of(search)]
    assert plates
    for choice in plates:
        backing, thread = choice.backing, CATALOG.thread(choice.bolts.size)
        assert backing.size is not None
        assert backing.thickness is not None
        assert backing.steel is not None
        steel = backing.size[0] * backing.size[1] * backing.thickness
        # Three layers of 3/4 in, a base of 0.1 in, the plate, and three diameters for head and nut.
        long = (3 * 0.75 + 0.1) * INCH + backing.thickness + 3 * thread.D
        bolts = 4 * np.pi / 4 * thread.D**2 * long
        assert choice.metal == pytest.approx(steel + bolts, rel=1e-9)
        own = CATALOG.steel(backing.steel).density
        assert choice.weight == pytest.approx(steel * own + bolts * CATALOG.steel("mild").density, rel=1e-9)


def deck_at(monkeypatch: pytest.MonkeyPatch, share: float) -> None:
    """Let washers and plates, each computed by itself, hold `share` of what they do hold."""

    def weakened(anchor: AnchorSetting, *args: Any) -> AnchorStrength:
        found = anchor_strength(anchor, *args)
        if not isinstance(anchor.mounting.backing, Bearing):
            return found
        links = [replace(link, breaking=share * link.breaking, working=share * link.working) for link in found.links]
        return replace(found, links=tuple(links))

    monkeypatch.setattr(stock_search, "anchor_strength", weakened)


def search_of(texts: Texts, working: float, direction: str) -> StockSearch:
    """The search of the stock with bolts of one size."""
    at = place(texts)
    way, wanted = pull_direction(at, direction), Wanted(working, 0.0, "as asked")
    return StockSearch(at.setting, CATALOG, way, wanted, at.rig.basis, at.rig.units, only=CATALOG.thread("1/2-13"))


def plates_of(search: StockSearch) -> list[Choice]:
    """Some plates of a search, thin and thick, with the first bolts."""
    rows = [row for row, backing in enumerate(search.stock.backings) if backing.kind == "plate"]
    return [search.choice((row, 0)) for row in rows[len(rows) // 6 :: len(rows) // 3]]


def test_a_choice_that_only_the_table_lets_pass_is_not_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    deck_at(monkeypatch, 0.1)
    found = search_of(roadster(), 2000.0, "strap").run()
    assert found.choices
    assert not any(found.passing and choice.backing.kind in ON_DECK for choice in found.choices)


def test_a_choice_holds_what_its_anchor_holds_by_itself() -> None:
    search = search_of(roadster(), 2000.0, "strap")
    anchor, basis = asked(roadster())
    way = pull_direction(place(roadster()), "strap")
    found = search.run()
    assert found.passing
    for choice in found.choices:
        alone = anchor_strength(with_choice(anchor, choice.backing, choice.bolts), way, basis)
        assert choice.strength.working == pytest.approx(alone.working, rel=1e-9)
        assert choice.strength.breaking == pytest.approx(alone.breaking, rel=1e-9)


def test_the_deck_governs_and_steel_takes_over() -> None:
    answer = sized(roadster(), 2000.0, "up")
    assert answer.verdict == "pass"
    assert all(choice.backing.kind == "bridge" for choice in answer.choices)
    assert any("No washer or plate is enough" in text and "hold-down" in text for text in answer.sentences)


def test_the_ring_governs() -> None:
    texts = edited(roadster(), "mountings", "plated", "ring", "rated", value="200 lbf")
    answer = sized(texts, 1500.0)
    assert answer.verdict == "fail"
    assert not answer.enough
    assert any("ring governs" in text for text in answer.sentences)


def test_the_strap_is_named_where_it_is_the_limit() -> None:
    texts = roadster()
    for strap in texts["straps"].values():
        strap["rated"] = "300 lbf"
    answer = sized(texts, 2000.0)
    assert any("straps of this anchor" in text for text in answer.sentences)


def test_an_unrated_ring_is_marginal_at_best() -> None:
    texts = roadster()
    del texts["mountings"]["plated"]["ring"]["rated"]
    answer = sized(texts, 1000.0)
    assert answer.enough
    assert answer.verdict == "marginal"


def test_what_the_cases_need_passes_when_it_is_built() -> None:
    at = place(roadster(), None)
    answer = size(at, SOME_STOCK, at.strap_direction(), needed(at))
    first = answer.choices[0]
    washer = first.backing.washer
    assert first.backing.kind == "washers"
    assert washer is not None
    own, bolts = at.setting.mounting.name, {"size": first.bolts.size, "grade": first.bolts.grade}
    built = edited(
        roadster(),
        "mountings",
        own,
        "backing",
        value={
            "kind": "washers",
            "outside": f"{washer.outside!r} m",
            "thickness": f"{washer.thickness!r} m",
            "steel": washer.steel,
        },
    )
    built["mountings"][own]["fasteners"].update(bolts)
    result = check_rig(rig_of(built, CATALOG))
    assert not [each for each in result.requirements if each.name.startswith("room") and each.verdict != "pass"]
    used = [state.utilisation for case in result.cases for state in case.straps if state.anchor == at.setting.name]
    assert max(used) <= at.rig.rules.pass_below * (1 + 1e-9)


def test_nothing_that_fits_is_said() -> None:
    # Behind the last cross-member, bolts so near to its face that no washer has room, and no second member.
    texts = edited(deck(), "mountings", "plated", "fasteners", "at", value={"square": "5.8 in"})
    texts["mountings"]["plated"]["ring"]["base"] = ["7 in", "7 in"]
    texts["anchors"]["front left"]["at"] = ["4 in", "0 in"]
    answer = sized(texts, 1000.0, "up")
    assert answer.verdict == "fail"
    assert answer.choices == ()
    assert answer.fitting == 0
    assert any("Nothing in stock fits" in text for text in answer.sentences)
    assert {(kind, reason) for kind, reason, _ in answer.left_out} >= {
        ("plate", "is too small for the bolts"),
        ("washers", "fouls a cross-member"),
        ("bridge", "has no second cross-member"),
    }


def test_metric_stock_for_metric_users() -> None:
    texts = edited(roadster(), "units", value="si")
    answer = sized(texts, 2000.0)
    assert {CATALOG.thread(choice.bolts.size).series for choice in answer.choices} == {"metric"}


# --- the question ---------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def at() -> Backed:
    return place(roadster())


def test_directions(at: Backed) -> None:
    strap = at.strap_direction()
    assert pull_direction(at, "up").tolist() == [0.0, 0.0, 1.0]
    assert pull_direction(at, "strap") == pytest.approx(strap)
    slanted = pull_direction(at, "40 deg")
    assert slanted[2] == pytest.approx(np.sin(np.radians(40)))
    assert slanted[:2] / np.linalg.norm(slanted[:2]) == pytest.approx(strap[:2] / np.linalg.norm(strap[:2]))
    assert pull_direction(at, "90 deg") == pytest.approx([0, 0, 1])


@pytest.mark.parametrize("words", ["sideways", "-10 deg", "91 deg", "40", "nan deg", "", "40 deg 2"])
def test_a_direction_that_is_none_is_refused(at: Backed, words: str) -> None:
    with pytest.raises(SizeError, match="is no direction"):
        pull_direction(at, words)


def test_unknown_names_are_refused() -> None:
    with pytest.raises(SizeError, match="no anchor 'frnt left'"):
        place(roadster(), "frnt left")
    with pytest.raises(SizeError, match="no mounting 'palted'"):
        place(roadster(), "front left", "palted")


def test_as_ring_wants_a_rating(at: Backed) -> None:
    assert as_ring(at).working == pytest.approx(1666 * 4.4482216152605)
    texts = roadster()
    del texts["mountings"]["plated"]["ring"]["rated"]
    with pytest.raises(SizeError, match="nobody rated the ring"):
        as_ring(place(texts))


def test_needed_keeps_the_reserve_of_a_pass(at: Backed) -> None:
    wanted = needed(at)
    for case in at.result.cases:
        for state in case.straps:
            if state.anchor == "front left":
                level = wanted.working if case.level == "working" else wanted.breaking
                assert state.tension <= at.rig.rules.pass_below * level * (1 + 1e-9)


def test_an_anchor_without_strap_has_no_direction() -> None:
    texts = copy.deepcopy(roadster())
    texts["anchors"]["spare"] = {"at": ["100 in", "10 in"], "mounting": "plated"}
    spare = place(texts, "spare")
    with pytest.raises(SizeError, match="no strap hangs"):
        pull_direction(spare, "strap")
    with pytest.raises(SizeError, match="pulls on anchor"):
        needed(spare)
    assert pull_direction(spare, "up")[2] == 1.0


# --- the picture ----------------------------------------------------------------------------------------------


def test_strength_by_thickness_rises() -> None:
    """The plate bends for good later the thicker it is; as it stiffens the floor, this may lose a little."""
    found = by_thickness(CATALOG, plates_of(search_of(deck(), 2500.0, "up"))[1])
    assert len(found) == len(CATALOG.plates["inch plate"].thicknesses)
    for thin, thick in itertools.pairwise(found):
        assert thick.working >= thin.working * (1 - 0.03)
        assert thick.first_bend > thin.first_bend


def test_rings_near_by_pull_along_as_in_check() -> None:
    """Two rings on one piece of deck: what is reckoned of the ring as it stands is what `check` says of it."""
    texts = roadster()
    texts["anchors"]["rear left"]["at"] = ["164 in", "34 in"]
    at = place(texts, "front left")
    assert [each.anchor.name for each in at.beside] == ["rear left"]
    whole = anchor_strength(at.setting, at.strap_direction(), at.rig.basis, at.beside)
    alone = anchor_strength(at.setting, at.strap_direction(), at.rig.basis)
    (said,) = [each for each in at.result.anchors if each.anchor == "front left"]
    assert whole.working == pytest.approx(said.working, rel=1e-9)
    assert whole.working < 0.95 * alone.working
