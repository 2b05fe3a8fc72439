"""Drawing takes little beside what it draws: measured against starting the program, so that any machine will do."""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Callable

from anchorcalc.catalog.tables import Catalog
from anchorcalc.render.draw.template import template_of
from anchorcalc.render.draw.template_pdf import template_pdf
from anchorcalc.render.page.report import report_html
from tests.conftest import roadster
from tests.render.test_report import parts_of

# On the machine this was written on the program starts in 0.12 s: 1.5 s for a report, 0.6 s for a template.
REPORT, TEMPLATE = 12.0, 5.0


def least(work: Callable[[], object]) -> float:
    """The shortest of three runs [s]."""
    found = []
    for _ in range(3):
        start = time.perf_counter()
        work()
        found.append(time.perf_counter() - start)
    return min(found)


def test_report_and_template_are_drawn_in_a_few_starts_of_the_program(catalog: Catalog) -> None:
    parts = parts_of(roadster(), catalog, compare=True)
    sheet = parts.result.sheet.mountings[0]
    version = [sys.executable, "-m", "anchorcalc", "--version"]
    start = least(lambda: subprocess.run(version, check=True, capture_output=True, timeout=60))
    assert least(lambda: report_html(parts)) <= REPORT * start
    assert least(lambda: template_pdf(template_of(parts.rig, "plated", sheet), "letter")) <= TEMPLATE * start
