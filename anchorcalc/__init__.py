"""How hard each strap pulls, what each floor anchor holds, and which link breaks first.

For Python users::

    from anchorcalc import Catalog, check_scenario, read_scenario

    catalog = Catalog()
    result = check_scenario(read_scenario(Path("my-trailer.yaml"), catalog=catalog), catalog)
    print(result.verdict, result.reasons)

Everything inside is SI: N, m, Pa.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from anchorcalc.catalog.tables import Catalog as Catalog
    from anchorcalc.result import Result as Result
    from anchorcalc.scenario.model import Scenario as Scenario
    from anchorcalc.scenario.read import read_scenario as read_scenario
    from anchorcalc.verdict.check import check as check_scenario
    from anchorcalc.verdict.check import compare as compare_mountings

__version__ = "0.2.0"

# Where each public name lives; imported when first asked for, to keep the command line quick.
_PUBLIC = {
    "Catalog": ("anchorcalc.catalog.tables", "Catalog"),
    "Result": ("anchorcalc.result", "Result"),
    "Scenario": ("anchorcalc.scenario.model", "Scenario"),
    "check_scenario": ("anchorcalc.verdict.check", "check"),
    "compare_mountings": ("anchorcalc.verdict.check", "compare"),
    "read_scenario": ("anchorcalc.scenario.read", "read_scenario"),
}
__all__ = [
    "Catalog",
    "Result",
    "Scenario",
    "__version__",
    "check_scenario",
    "compare_mountings",
    "read_scenario",
]


def __getattr__(name: str) -> object:
    if name not in _PUBLIC:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    module, attribute = _PUBLIC[name]
    return getattr(import_module(module), attribute)
