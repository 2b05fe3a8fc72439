"""What the overview says of every command."""

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
    "verify": "Compare every published value with what is computed here.",
    "schema": "Print the JSON Schema of a scenario, for editors.",
    "completion": "Print the script by which a shell completes commands.",
}
