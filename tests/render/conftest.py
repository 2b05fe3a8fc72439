"""Says at the end of a run when no browser was there to open the pages in."""

from __future__ import annotations

import pytest

from tests.browser import BROWSER
from tests.render.axe import AXE


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    if BROWSER is None:
        terminalreporter.write_line("NOT RUN: tests/render/test_in_browser.py, for no chromium is on PATH", yellow=True)
    elif AXE is None:
        terminalreporter.write_line(
            "NOT RUN: the report was not judged by axe-core, which could not be had", yellow=True
        )
