"""The store of answers: exact, versioned, and never trusted where it is damaged."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path

import pytest

from yokebook import units
from yokebook.pages import extensions
from yokebook.physics import realgas
from yokebook.reference import states

STORE = Path(".yokebook") / "answers.json"


@pytest.fixture
def memo(monkeypatch: pytest.MonkeyPatch) -> dict[str, float]:
    """A memory of one state for one test, and of nothing else."""
    memory: dict[str, float] = {"density|a": 0.1 + 0.2}
    monkeypatch.setattr(realgas, "_memo", memory)
    monkeypatch.setattr(units, "_scales", {})
    extensions.learn({})
    return memory


def test_states_come_back_to_the_last_bit(memo: dict[str, float], tmp_path: Path) -> None:
    """What one run has worked out the next one knows exactly."""
    states.save(tmp_path, 0)
    memo.clear()
    assert 1 == states.load(tmp_path)
    assert {"density|a": 0.1 + 0.2} == memo


def test_nothing_new_is_not_written(memo: dict[str, float], tmp_path: Path) -> None:
    """A run that has learnt nothing leaves the file alone."""
    states.save(tmp_path, 1)
    assert not (tmp_path / STORE).exists()


def test_units_come_back_exactly(memo: dict[str, float], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """How large a unit is stays the same to the last digit, and pint is not asked again."""
    psi = units.to_si(Decimal(1), units.SPELLINGS["psi"])
    states.save(tmp_path, 0)
    monkeypatch.setattr(units, "_scales", {})
    monkeypatch.setattr(units, "_registry", None)
    assert 2 == states.load(tmp_path)
    assert psi == units.to_si(Decimal(1), units.SPELLINGS["psi"])


@pytest.mark.parametrize("damage", ["changed value", "other version", "cut off", "no object", "not finite"])
def test_a_store_that_is_not_sound_counts_as_none(
    damage: str, memo: dict[str, float], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A changed number, another version of the library, half a file: worked out anew, never believed."""
    states.save(tmp_path, 0)
    text = (tmp_path / STORE).read_text(encoding="utf-8")
    damaged = {
        "changed value": text.replace("0.30000000000000004", "0.31"),
        "other version": text,
        "cut off": text[:-5],
        "no object": json.dumps([1, 2]),
        "not finite": text.replace("0.30000000000000004", "NaN"),
    }[damage]
    (tmp_path / STORE).write_text(damaged, encoding="utf-8")
    if damage == "other version":
        monkeypatch.setattr(realgas, "version", lambda: "0.0.0")
    memo.clear()
    assert 0 == states.load(tmp_path)


def test_a_folder_that_cannot_be_written_is_left_alone(memo: dict[str, float], tmp_path: Path) -> None:
    """A department on a read-only share is checked all the same."""
    (tmp_path / ".yokebook").write_text("a file in the place of the folder", encoding="utf-8")
    states.save(tmp_path, 0)
    assert (tmp_path / ".yokebook").is_file()


def test_pages_come_back_laid_out_as_they_were_and_old_ones_are_dropped(
    memo: dict[str, float], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The same text gives the same HTML and headings without the library; a text of before is not kept for ever."""
    before = [extensions.render(f"# Step {number}\n\ntext") for number in (1, 2)]
    states.save(tmp_path, 1)
    states.load(tmp_path)
    monkeypatch.setattr(extensions, "_converter", lambda: pytest.fail("the library was asked again"))
    assert before[0] == extensions.render("# Step 1\n\ntext")
    states.save(tmp_path, states.load(tmp_path))
    assert {} == json.loads((tmp_path / STORE).read_text(encoding="utf-8"))["pages"]
