"""What a user reads about each faulty file, word for word: the message stands beside the file."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from anchorcalc.catalog.tables import Catalog
from anchorcalc.reading import document
from anchorcalc.reading.faults import InputFaults
from anchorcalc.scenario.read import read_scenario

FOLDER = Path(__file__).parent / "faulty"
NAMES = sorted(file.stem for file in FOLDER.glob("*.yaml"))


@pytest.fixture(scope="module")
def catalog() -> Catalog:
    return Catalog()


def message(name: str, catalog: Catalog) -> str:
    with pytest.raises(InputFaults) as raised:
        read_scenario(Path(f"{name}.yaml"), catalog=catalog)
    return str(raised.value) + "\n"


@pytest.mark.parametrize("name", NAMES)
def test_message_is_the_one_beside_the_file(name: str, catalog: Catalog, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(FOLDER)
    expected = (FOLDER / f"{name}.txt").read_text(encoding="utf-8")
    assert message(name, catalog) == expected


@pytest.mark.parametrize("name", NAMES)
def test_message_does_not_depend_on_the_parser(name: str, catalog: Catalog, monkeypatch: pytest.MonkeyPatch) -> None:
    # PyYAML may have been built without its C part.
    monkeypatch.chdir(FOLDER)
    monkeypatch.setattr(document, "_LOADER", yaml.SafeLoader)
    expected = (FOLDER / f"{name}.txt").read_text(encoding="utf-8")
    assert message(name, catalog) == expected


def test_every_message_has_its_file() -> None:
    assert sorted(file.stem for file in FOLDER.glob("*.txt")) == NAMES
    assert len(NAMES) >= 30
