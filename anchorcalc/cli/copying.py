"""A copy of a scenario, changed in a dialogue: value by value, or a part described anew."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import click

from anchorcalc.cli.posing import ask_all, help_text, pose, read_soundly

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from anchorcalc.catalog.tables import Catalog
    from anchorcalc.cli.dialogue import Dialogue
    from anchorcalc.interview.changes import Anew, Entry
    from anchorcalc.interview.guided import Draft, Steps
    from anchorcalc.interview.writer import Note
    from anchorcalc.reading.document import Plain
    from anchorcalc.scenario.model import Scenario

_MOST_FOUND: Final = 40
_HELP: Final = """Words find what has all of them in its name or value: 'weight', 'front left', 'mounting'.
A number changes that entry. 'anew' finds the layers, the ways of fastening and the straps that can be described \
anew by questions, and 'another' adds a way of fastening; 'anchors mounting' then finds which ring uses which.
Enter ends and shows all changes; stop leaves without writing."""


@dataclass
class _Copy:
    """The texts of the copy, what they were last read as, and the notes on them."""

    content: dict[str, Plain]
    scenario: Scenario
    notes: list[Note] = field(default_factory=list)

    @property
    def text(self) -> str:
        from anchorcalc.interview.writer import scenario_text

        return scenario_text(self.content, self.notes)

    def take(self, content: dict[str, Plain], path: Sequence[str | int], notes: Sequence[Note] = ()) -> None:
        """Go on with `content`, changed at `path`; older notes on that place no longer hold."""
        changed_at = tuple(path)
        kept = [note for note in self.notes if note[0][: len(changed_at)] != changed_at]
        self.content, self.notes = content, [*kept, *notes]


def copied(base: str, dialogue: Dialogue, catalog: Catalog) -> str | None:
    """Text of a changed copy of the scenario `base`, or None if the user wants none."""
    from anchorcalc.interview.changes import entries
    from anchorcalc.interview.guided import whole_number

    copy = _texts_of(base, catalog)
    original = copy.content
    dialogue.say("Words find values, a number changes one, Enter ends; '?' helps.", 0)
    while True:
        listed = entries(copy.content, copy.scenario)
        dialogue.say("\nWhat shall change?", 0)
        answer = dialogue.hear()
        if not answer:
            if _read_again(dialogue, copy, catalog) and (ready := _agreed(dialogue, original, copy)) is not None:
                return copy.text if ready else None
        elif answer == "stop":
            return None
        elif answer == "?":
            dialogue.say(_HELP, 4)
        elif answer.isascii() and answer.isdigit():
            number = whole_number(answer, 1, len(listed))
            if number is None:
                dialogue.slip(f"a number from 1 to {len(listed)} is wanted here")
            else:
                _change(dialogue, copy, listed[number - 1], catalog)
        else:
            _find(dialogue, listed, answer)


def _texts_of(base: str, catalog: Catalog) -> _Copy:
    from anchorcalc.cli.common import located
    from anchorcalc.reading.document import read_document
    from anchorcalc.reading.reader import text_of
    from anchorcalc.scenario.read import parse_scenario

    if base == "-":
        raise click.UsageError("--from takes a file; standard input is for the answers")
    text, name = text_of(Path(located(base)))
    scenario = parse_scenario(text, name, catalog=catalog)
    content = read_document(text).content
    assert isinstance(content, dict)  # noqa: S101 - it was read as a scenario
    return _Copy(content, scenario)


def _find(dialogue: Dialogue, listed: Sequence[Entry], words: str) -> None:
    from anchorcalc.interview.changes import Anew

    wanted = words.lower().split()
    found = [(number, entry) for number, entry in enumerate(listed, 1)
             if all(word in f"{entry.words} {entry.value or ''}".lower() for word in wanted)]  # fmt: skip
    for number, entry in found[:_MOST_FOUND]:
        value = "" if isinstance(entry, Anew) else f": {'(not given)' if entry.value is None else entry.value}"
        dialogue.say(f"{number:3d}  {entry.words}{value}", hang=5)
    if len(found) > _MOST_FOUND:
        dialogue.say(f"... and {len(found) - _MOST_FOUND} more; another word finds fewer")
    if not found:
        dialogue.slip(f"nothing here has {words[:40]!r} in its name or value")


def _change(dialogue: Dialogue, copy: _Copy, entry: Entry, catalog: Catalog) -> None:
    from anchorcalc.interview.changes import Anew

    if isinstance(entry, Anew):
        changed = _describe(dialogue, copy, entry, catalog)
    else:
        changed = _set_value(dialogue, copy, entry, catalog)
    if changed:
        _read_again(dialogue, copy, catalog)
    else:
        dialogue.say("It stays as it was.")


def _set_value(dialogue: Dialogue, copy: _Copy, entry: Entry, catalog: Catalog) -> bool:
    """Ask for the new value of one entry; whether it has one."""
    from anchorcalc.interview.change_questions import question_about
    from anchorcalc.interview.changes import changed
    from anchorcalc.interview.guided import Slip, understood

    question = question_about(entry, copy.content, catalog)
    pose(dialogue, question)
    while True:
        text = dialogue.hear()
        if text.lower() in ("", "back"):
            return False
        if text == "?":
            dialogue.say(help_text(question) + "\nback: it stays as it is.", 4)
            continue
        if text == "none" and text not in question.choices:
            text = "don't know"
        try:
            value = understood(question, text)
        except Slip as slip:
            dialogue.slip(str(slip))
        else:
            copy.take(changed(copy.content, entry.path, value), entry.path)
            return True


def _describe(dialogue: Dialogue, copy: _Copy, entry: Anew, catalog: Catalog) -> bool:
    """Ask about one layer, mounting or strap; whether the copy has it now."""
    from anchorcalc.interview.deck_questions import layer_anew
    from anchorcalc.interview.guided import Interview
    from anchorcalc.interview.mounting_questions import mounting_added, mounting_anew
    from anchorcalc.interview.strap_questions import strap_anew

    anew: dict[str | int, Callable[..., Steps[Draft]]] = {
        "deck": layer_anew, "mountings": mounting_anew, "straps": strap_anew,
    }  # fmt: skip
    if entry.another:
        walk = partial(mounting_added, catalog, copy.content)
    else:
        walk = partial(anew[entry.path[0]], catalog, copy.content, entry.path[-1])
    interview = Interview(walk, copy.content)
    if not ask_all(dialogue, interview, may_leave=True):
        return False
    assert interview.draft is not None  # noqa: S101 - all questions are answered
    former, content = copy.content, interview.draft.content
    copy.take(content, () if entry.another else entry.path, interview.draft.notes)
    _tell_unused(dialogue, former, content)
    return True


def _tell_unused(dialogue: Dialogue, former: dict[str, Any], content: dict[str, Any]) -> None:
    """Say so if no anchor uses the mounting that `content` has and the `former` texts had not."""
    used = {anchor.get("mounting") for anchor in content["anchors"].values()}
    for name, mounting in content["mountings"].items():
        if name not in used and former["mountings"].get(name) != mounting:
            dialogue.say(f"No anchor uses {name!r} yet: 'anchors mounting' finds where to say so.")


def _read_again(dialogue: Dialogue, copy: _Copy, catalog: Catalog) -> bool:
    """Read the copy as it is now; whether it has no faults. They are said."""
    scenario = read_soundly(dialogue, copy.text, catalog)
    copy.scenario = scenario or copy.scenario
    return scenario is not None


def _agreed(dialogue: Dialogue, original: dict[str, Plain], copy: _Copy) -> bool | None:
    """True to write, False to stop, None to change more."""
    from anchorcalc.interview.changes import differences
    from anchorcalc.reading.faults import path_words

    dialogue.say("\nChanged", 0)
    changes = differences(original, copy.content)
    for path, before, after in changes:
        dialogue.say(f"{path_words(path)}: {before or '(not given)'} -> {after or '(not given)'}")
    if not changes:
        dialogue.say("nothing; the copy says the same")
    dialogue.say("Enter writes the file; more changes more; stop leaves.", 0)
    while True:
        answer = dialogue.hear().lower()
        if answer in ("", "yes", "write"):
            return True
        if answer in ("stop", "more"):
            return False if answer == "stop" else None
        dialogue.slip("Enter, more or stop is wanted here")
