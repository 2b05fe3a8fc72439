"""axe-core, which judges how well a page can be used without eyes or mouse: from the registry of npm, kept once."""

from __future__ import annotations

import shutil
import subprocess
import tempfile
from pathlib import Path

_KEPT = Path(tempfile.gettempdir()) / "anchorcalc-tests-axe"
_VERSION = "4.10.2"


def _fetched() -> Path | None:
    """Path of the script; None where npm is not there or has it not."""
    kept = _KEPT / _VERSION / "axe.min.js"
    if kept.exists():
        return kept
    npm = shutil.which("npm")
    if npm is None:
        return None
    with tempfile.TemporaryDirectory() as folder:
        command = [npm, "install", "--silent", "--ignore-scripts", "--prefix", folder, f"axe-core@{_VERSION}"]
        try:
            subprocess.run(command, check=True, capture_output=True, timeout=60)
        except (subprocess.SubprocessError, OSError):
            return None
        fresh = Path(folder) / "node_modules" / "axe-core" / "axe.min.js"
        if not fresh.exists():
            return None
        kept.parent.mkdir(parents=True, exist_ok=True)
        part = kept.with_suffix(f".{Path(folder).name}")
        shutil.copy(fresh, part)
        part.replace(kept)  # whole or not at all, whoever else is at it
    return kept


AXE = _fetched()
