"""A disk that does not take what commands write: a problem that says where and why, never a traceback."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from changing_site import lay_out
from full_disk import no_room
from yokebook import files
from yokebook.cli import main


def run(*arguments: str | Path) -> Result:
    result = CliRunner().invoke(main, [str(argument) for argument in arguments])
    assert result.exception is None or isinstance(result.exception, SystemExit), repr(result.exception)
    return result


INCIDENT = ("incident", "low-again", "--title", "Oxygen low again", "--happened", "2026-06-01", "--site")


def test_a_department_is_not_begun_where_a_file_is_in_the_way(tmp_path: Path) -> None:
    """The file is named, not the first of the many that would have been written."""
    (tmp_path / "note.txt").write_text("ours", encoding="utf-8")
    result = run("start", tmp_path / "note.txt" / "deep" / "department")
    expected = f"""\
{tmp_path}/note.txt/deep/department: error E613, folder that refuses
  Wrong:         {tmp_path}/note.txt is a file, and a folder has to be in its place
  Allowed:       the file renamed or moved, or another folder; then run it again
  Example:       yokebook start our-department

1 error, 0 warnings, 0 notes.
"""
    assert (1, expected) == (result.exit_code, result.stdout)
    assert ["note.txt"] == [path.name for path in tmp_path.iterdir()]


def test_a_department_is_not_begun_on_a_full_disk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """In the system's words, which somebody who looks after the machine knows."""
    monkeypatch.setattr(os, "fsync", no_room)
    result = run("start", tmp_path / "department")
    assert 1 == result.exit_code
    assert "the disk did not let the program write this (No space left on device)" in result.stdout


def test_an_incident_is_not_opened_where_a_file_is_in_the_way(tmp_path: Path) -> None:
    """It does not say that there is an incident of this name: there is none."""
    site = lay_out(tmp_path / "site")
    incidents = site / "content/pages/incidents"
    (incidents / "low-in-theatre.md").unlink()
    incidents.rmdir()
    incidents.write_text("by mistake", encoding="utf-8")
    result = run(*INCIDENT, site)
    expected = f"""\
{incidents}/low-again.md: error E613, folder that refuses
  Wrong:         {incidents} is a file, and a folder has to be in its place
  Allowed:       the file renamed or moved, or another folder; then run it again

1 error, 0 warnings, 0 notes.
"""
    assert (1, expected) == (result.exit_code, result.stdout)
    assert "by mistake" == incidents.read_text(encoding="utf-8")


def test_an_incident_is_not_opened_on_a_full_disk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing of it is left that would look like an incident."""
    site = lay_out(tmp_path / "site")
    monkeypatch.setattr(os, "fsync", no_room)
    result = run(*INCIDENT, site)
    assert 1 == result.exit_code
    assert "low-again.md: error E613, folder that refuses" in result.stdout
    assert not (site / "content/pages/incidents/low-again.md").exists()


def test_a_folder_below_which_nothing_can_be_looked_at_is_no_traceback(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The system refuses to say even whether something is there."""

    def refuse(self: Path) -> bool:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES), str(self))

    monkeypatch.setattr(Path, "exists", refuse)
    problem = run("start", tmp_path / "department")
    assert (1, True) == (problem.exit_code, "(Permission denied)" in problem.stdout)


def test_what_cannot_be_cleared_after_the_swap_is_left_for_the_next_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The new state stands: nobody is told that nothing was made."""
    folder = tmp_path / "site"
    folder.mkdir()
    (folder / "old").touch()
    beside = files.empty_beside(folder)
    with monkeypatch.context() as patched:
        patched.setattr(os, "unlink", no_room)
        patched.setattr(os, "rmdir", no_room)
        files.swap_in(beside, folder)
    assert [] == list(folder.iterdir())
    files.recover(folder)
    assert ["site"] == [path.name for path in tmp_path.iterdir()]
