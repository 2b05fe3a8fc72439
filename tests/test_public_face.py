"""What Python users import."""

from __future__ import annotations

import importlib
import subprocess
import sys

import pytest

from anchorcalc.resources import data_folder


def test_a_scenario_can_be_checked_from_python() -> None:
    program = (
        "from pathlib import Path\n"
        "from anchorcalc import Catalog, check_scenario, compare_mountings, read_scenario\n"
        "catalog = Catalog()\n"
        f"scenario = read_scenario(Path({str(data_folder('scenarios') / 'roadster.yaml')!r}), catalog=catalog)\n"
        "print(check_scenario(scenario, catalog).verdict, len(compare_mountings(scenario, catalog)))\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True, timeout=60)
    assert done.stdout.split() == ["pass", "4"]


def test_an_unknown_name_is_an_attribute_error() -> None:
    module = importlib.import_module("anchorcalc")
    with pytest.raises(AttributeError, match="gremlin"):
        _ = module.gremlin
    assert callable(module.check_scenario)
