"""A new department: what it starts with is good, says that it is an example, and is never laid over anything."""

from __future__ import annotations

from pathlib import Path

import pytest

from demo_site import change
from yokebook.reference.start import start, starter
from yokebook.reference.whole import work_out


def test_a_new_department_is_checked_without_an_error_and_told_which_data_are_examples(tmp_path: Path) -> None:
    """Each data file is named until a value of it is the department's own."""
    folder = tmp_path / "department"
    start(folder)
    examples = sorted(path.name for path in (folder / "content/data").iterdir())
    problems = list(work_out(folder).problems)
    assert [("W773", f"content/data/{name}") for name in examples] == [(p.code, p.file) for p in problems]
    change(folder / "content/data/department.yaml", "name: Our department", "name: Larkmoor Infirmary")
    assert "content/data/department.yaml" not in [problem.file for problem in work_out(folder).problems]


def test_it_starts_in_an_empty_folder(tmp_path: Path) -> None:
    """A folder made beforehand is taken when nothing is in it."""
    start(tmp_path)
    assert (tmp_path / "mkdocs.yml").read_bytes() == (starter() / "mkdocs.yml").read_bytes()


def test_nothing_is_laid_over_what_is_there(tmp_path: Path) -> None:
    """A folder with a file in it, and a file in its place, stay as they are."""
    (tmp_path / "note.txt").write_text("ours", encoding="utf-8")
    for taken in (tmp_path, tmp_path / "note.txt"):
        with pytest.raises(FileExistsError):
            start(taken)
    assert ["note.txt"] == [path.name for path in tmp_path.iterdir()]


def test_no_number_of_the_starter_promises_a_time(tmp_path: Path) -> None:
    """Its dials have no accuracy, so that no table of times is worked out from examples."""
    start(tmp_path)
    text = (tmp_path / "content/data/gauges.yaml").read_text(encoding="utf-8")
    assert text.count("accuracy: unknown") == text.count("span:") + 1, "each dial, and the comment"
