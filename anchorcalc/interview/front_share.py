"""How much of a load's weight is in front when nobody weighed it: the share that gives the worst verdict."""

from __future__ import annotations

import copy
from typing import TYPE_CHECKING, Any, Final

from pydantic import ValidationError

from anchorcalc.scenario.crosscheck import cross_faults
from anchorcalc.scenario.model import Scenario

if TYPE_CHECKING:
    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.interview.guided import Draft
    from anchorcalc.reading.document import Plain
    from anchorcalc.reading.faults import Path

SHARES: Final = (35, 50, 65)
"""Of the weight, on the front wheels [%]: from engine in the rear to engine in front [common practice, no source]."""
SHARES_IN_WORDS: Final = f"{', '.join(map(str, SHARES[:-1]))} and {SHARES[-1]} %"

_CENTRE: Final[Path] = ("load", "centre_of_gravity")


def settle(draft: Draft, catalog: Catalog) -> None:
    """Write that of the draft's `front_shares` which is worst, with a note, and list it as assumed.

    A scenario that is not sound yet has no verdict; what it says stands until it has one.
    """
    contents = {percent: _placed(draft.content, centre) for percent, centre in draft.front_shares.items()}
    known = {percent: gravity for percent, each in contents.items() if (gravity := _gravity(each, catalog))}
    if not known:
        return
    worst = max(known, key=known.__getitem__)
    taken = f"{worst} % of the weight in front, the worst of {SHARES_IN_WORDS}"
    draft.content = contents[worst]
    assumed: Any = draft.content.setdefault("assumed", {})
    assumed["weight on the front wheels"] = taken
    draft.notes.append((_CENTRE, f"{taken}."))


def _placed(content: dict[str, Plain], centre: Plain) -> dict[str, Plain]:
    result: Any = copy.deepcopy(content)
    result["load"]["centre_of_gravity"] = centre
    return dict(result)


def _gravity(content: dict[str, Plain], catalog: Catalog) -> tuple[bool, bool, float] | None:
    """How bad the verdict on `content` is: whether it fails, is no pass, and the highest utilisation of its cases.

    None if it is not sound.
    """
    from anchorcalc.verdict.check import check

    try:
        scenario = Scenario.model_validate(content)
    except ValidationError:
        return None
    if cross_faults(scenario, catalog):
        return None
    result = check(scenario, catalog)
    return result.verdict == "fail", result.verdict != "pass", max(case.utilisation for case in result.cases)
