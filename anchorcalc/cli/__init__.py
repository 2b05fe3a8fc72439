"""The command line: one thin module per command, each imported only when it is asked for."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from anchorcalc.cli.commands import group as group

# One line each, so that the overview need not import the commands. A test holds them to the commands' own help.
COMMANDS = {
    "start": "Write a scenario by answering questions, and check it.",
    "check": "Check every strap and anchor of a scenario.",
    "improve": "Find what would make the scenario FILE pass.",
    "compare": "Try each mounting on every anchor, side by side.",
    "explain": "Explain the strength of one link: formula, figures, source.",
    "size": "Find the backing to buy for one anchor of the scenario FILE.",
    "fit": "Show what to buy, drill and tighten, and what is in the way.",
    "template": "Draw one mounting's drilling and cutting template at true size.",
    "plan": "Draw the deck from above with anchors, straps and verdicts.",
    "report": "Write everything about a scenario into one HTML file.",
    "tables": "List the tables, or show rows with their sources.",
    "schema": "Print the JSON Schema of a scenario, for editors.",
    "completion": "Print the script by which a shell completes commands.",
}


def main() -> None:
    """Run the command line and end with its exit status."""
    try:
        # Nothing of weight is imported before this point, so that Ctrl-C finds someone to take it.
        from anchorcalc.cli.commands import run

        status = run()
    except KeyboardInterrupt:
        status = 130
    sys.exit(status)


def __getattr__(name: str) -> object:
    if name != "group":
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from anchorcalc.cli.commands import group

    return group
