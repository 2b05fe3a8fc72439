"""Talking with a person at a terminal, or with a file of answers at the other end of a pipe.

Both get the same questions. At a terminal a slip is asked again; in a file of answers it ends the run, since
every answer after it might belong to another question.
"""

from __future__ import annotations

import sys
import textwrap
from typing import Final

import click

from anchorcalc.reading.document import MOST_BYTES, Undecodable, decode, split_lines
from anchorcalc.reading.faults import InputFaults, printable, shortened

_WIDTH: Final = 80
_PROMPT: Final = "  > "
TIE: Final = "\N{NO-BREAK SPACE}"
"""A blank at which no line ends; on the screen it is an ordinary one."""


class Ended(click.ClickException):
    """There are no more answers, or one of a file will not do; nothing is written."""


class Dialogue:
    """Prints questions and hands out answers."""

    def __init__(self) -> None:
        if sys.stdin is None:
            raise click.UsageError("standard input is closed: there is nobody to ask")
        self.at_terminal = sys.stdin.isatty()
        self._lines = [] if self.at_terminal else _piped_lines()
        self._taken = 0

    def say(self, text: str = "", indent: int = 2, hang: int = 0) -> None:
        """Print `text`, each of its lines wrapped, and what is wrapped set in by `hang`.

        Nothing raw of what was typed reaches the screen.
        """
        lead = " " * indent
        for line in text.split("\n"):
            plain, later = TIE.join(map(printable, line.split(TIE))), lead + " " * hang
            wrapped = textwrap.wrap(
                plain,
                _WIDTH,
                initial_indent=lead,
                subsequent_indent=later,
                break_on_hyphens=False,
                break_long_words=False,
            )
            click.echo("\n".join(wrapped).replace(TIE, " "))

    def hear(self) -> str:
        """The next answer; `Ended` if there is none."""
        if self.at_terminal:
            return self._typed()
        while self._taken < len(self._lines):
            line = self._lines[self._taken].strip()
            self._taken += 1
            if not line.startswith("# "):
                click.echo(_PROMPT + printable(shortened(line, _WIDTH)))
                return line
        raise Ended("the answers ended before the questions; nothing was written")

    def slip(self, message: str) -> None:
        """Say what was wrong with the last answer; `Ended` if it came from a file."""
        if not self.at_terminal:
            place = f"answer in line {self._taken}" if self._taken else "answer"
            raise Ended(f"{place}: {printable(shortened(message, 400))}; nothing was written")
        self.say(message, 4)

    def left_over(self) -> None:
        """Refuse answers to questions that were not asked: `Ended` if there are some."""
        for number, line in enumerate(self._lines[self._taken :], self._taken + 1):
            if line.strip() and not line.strip().startswith("# "):
                raise Ended(f"an answer is left over in line {number}; nothing was written")

    def _typed(self) -> str:
        try:
            return input(_PROMPT).encode("utf-8", "replace").decode("utf-8")
        except EOFError:
            click.echo()
            raise Ended("ended before the last question; nothing was written") from None


def _piped_lines() -> list[str]:
    name = "answers"
    try:
        text = decode(sys.stdin.buffer.read(MOST_BYTES + 1))
    except Undecodable as error:
        raise InputFaults(name, error.lines, [error.fault]) from None
    lines = split_lines(text)
    return lines[:-1] if lines and not lines[-1] else lines
