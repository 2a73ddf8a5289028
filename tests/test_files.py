"""Safe writing: the old state or the new one, never half."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from yokebook import files


def test_a_file_is_replaced_whole(tmp_path: Path) -> None:
    """The new bytes stand in the place of the old ones, and nothing is left beside them."""
    path = tmp_path / "deep" / "list.json"
    files.write_whole(path, b"old")
    files.write_whole(path, b"new")
    assert b"new" == path.read_bytes()
    assert ["list.json"] == [entry.name for entry in path.parent.iterdir()]


def test_a_file_is_on_the_disk_before_it_takes_the_place_of_another(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Else a failure of the power could leave an empty file under the name."""
    done, flush, name = list[str](), os.fsync, os.replace
    monkeypatch.setattr(
        os, "fsync", lambda number: (done.append(f"flush {os.fstat(number).st_size} bytes"), flush(number))
    )
    monkeypatch.setattr(os, "replace", lambda path, into: (done.append(f"name {Path(into).name}"), name(path, into)))
    files.write_whole(tmp_path / "list.json", b"new")
    assert ["flush 3 bytes", "name list.json"] == done


def test_a_write_that_fails_leaves_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the rename fails, the old bytes stay."""
    path = tmp_path / "list.json"
    files.write_whole(path, b"old")

    def refuse(self: Path, target: Path) -> Path:
        raise OSError("the share refuses")

    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(OSError, match="the share refuses"):
        files.write_whole(path, b"new")
    assert b"old" == path.read_bytes()


def folder_with(path: Path, text: str) -> Path:
    path.mkdir(parents=True)
    (path / "index.html").write_text(text, encoding="utf-8")
    return path


def test_a_folder_is_swapped_whole(tmp_path: Path) -> None:
    """After the swap the new state stands alone."""
    site = folder_with(tmp_path / "site", "old")
    beside = files.empty_beside(site)
    (beside / "index.html").write_text("new", encoding="utf-8")
    files.swap_in(beside, site)
    assert "new" == (site / "index.html").read_text(encoding="utf-8")
    assert ["site"] == [entry.name for entry in tmp_path.iterdir()]


def test_the_first_swap_needs_no_old_state(tmp_path: Path) -> None:
    """A site that was never there is simply put in place."""
    beside = files.empty_beside(tmp_path / "site")
    files.swap_in(beside, tmp_path / "site")
    assert ["site"] == [entry.name for entry in tmp_path.iterdir()]


def test_what_a_killed_run_left_beside_is_cleared(tmp_path: Path) -> None:
    """A half-made state of an earlier run never mixes with the next."""
    folder_with(tmp_path / "site.partial", "half")
    assert [] == list(files.empty_beside(tmp_path / "site").iterdir())


def test_a_run_killed_between_the_two_renames_is_undone(tmp_path: Path) -> None:
    """The old state, waiting under its second name, is put back."""
    folder_with(tmp_path / "site.before", "old")
    files.recover(tmp_path / "site")
    assert "old" == (tmp_path / "site" / "index.html").read_text(encoding="utf-8")


def test_a_run_killed_after_the_swap_is_tidied(tmp_path: Path) -> None:
    """Where the new state stands, what is left of the old one goes."""
    folder_with(tmp_path / "site", "new")
    folder_with(tmp_path / "site.before", "old")
    files.recover(tmp_path / "site")
    assert ["site"] == [entry.name for entry in tmp_path.iterdir()]
    assert "new" == (tmp_path / "site" / "index.html").read_text(encoding="utf-8")
