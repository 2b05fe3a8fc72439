"""How a question of an interview looks on a screen, and how its answer is heard."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Sequence

    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.cli.dialogue import Dialogue
    from anchorcalc.interview.guided import Interview, Question
    from anchorcalc.scenario.model import Scenario

_MOST_NUMBERED: Final = 14


def ask_all(dialogue: Dialogue, interview: Interview, *, may_leave: bool = False) -> bool:
    """Ask until every question is answered; false if the user goes back from the first one, where he may."""
    from anchorcalc.interview.guided import Slip

    section, posed = None, None
    while (question := interview.question) is not None:
        if question.section != section:
            section = question.section
            dialogue.say(f"\n{section}", 0)
        if question is not posed:
            pose(dialogue, question)
            posed = question
        text = dialogue.hear()
        if text == "?":
            dialogue.say(help_text(question), 4)
        elif text.lower() == "back":
            if may_leave and not interview.answered:
                return False
            interview.back()
        else:
            try:
                interview.answer(text)
            except Slip as slip:
                dialogue.slip(str(slip))
    return True


def pose(dialogue: Dialogue, question: Question) -> None:
    """Print `question` with its choices, and what Enter takes."""
    hints = [f"such as {question.example}"] if question.example and question.default is None else []
    if question.unknown is not None:
        hints.append("don't know will do")
    dialogue.say(question.text + (f" ({'; '.join(hints)})" if hints else ""))
    if len(question.choices) > _MOST_NUMBERED:
        dialogue.say(f"a word or number from a list of {len(question.choices)}; ? shows it", 6)
    elif question.choices and question.choices != ("yes", "no"):
        dialogue.say(_numbered(question.choices, ", "), 6, 3)
    if question.default is not None:
        dialogue.say(f"[{question.default}] {question.origin}", 6, 2)


def help_text(question: Question) -> str:
    """What may be answered: how to find out, the choices, what Enter takes, and what not knowing means."""
    lines = [question.help] if question.help else []
    if question.choices:
        lines.append(_numbered(question.choices, "\n" if len(question.choices) > _MOST_NUMBERED else ", "))
    if question.example:
        lines.append(f"Such as {question.example}.")
    if question.default is not None:
        lines.append(f"Enter takes {question.default}: {question.origin}.")
    if question.unknown is not None:
        lines.append(f"don't know: {question.unknown}.")
    elif question.default is not None:
        lines.append("don't know will not do.")
    else:
        lines.append("This has to be known: nothing safe can be taken for it.")
    return "\n".join(lines)


def _numbered(choices: Sequence[str], between: str) -> str:
    from anchorcalc.cli.dialogue import TIE

    return between.join(f"{number}: {each}".replace(" ", TIE) for number, each in enumerate(choices, 1))


def read_soundly(dialogue: Dialogue, text: str, catalog: Catalog) -> Scenario | None:
    """Scenario written in `text`; None if there are faults, which are said."""
    from anchorcalc.reading.faults import InputFaults, path_words
    from anchorcalc.scenario.read import parse_scenario

    try:
        return parse_scenario(text, "the answers", catalog=catalog)
    except InputFaults as faults:
        dialogue.say("\nThese do not go together yet", 0)
        for fault in faults.faults:
            dialogue.say(f"{path_words(fault.path)}: {fault.message}")
        return None
