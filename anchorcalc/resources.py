"""Where the tables and demo scenarios are: inside an installed package, or beside it in a checkout."""

from __future__ import annotations

from pathlib import Path
from typing import Literal


def data_folder(name: Literal["tables", "scenarios"]) -> Path:
    """Folder of shipped data.

    Raises
    ------
    FileNotFoundError
        The installation is incomplete; the message names the missing folder.
    """
    package = Path(__file__).resolve().parent
    installed, beside = package / name, package.parent / name
    if installed.is_dir():
        return installed
    if beside.is_dir() and (package.parent / "pyproject.toml").is_file():
        return beside
    raise FileNotFoundError(f"the installation lacks its folder '{name}' (looked for {installed})")
