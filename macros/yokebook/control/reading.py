"""Reads the folder of the department's records; every mistake in them is a problem at its line."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TypeVar

from yokebook import yamlfile
from yokebook.control import approved
from yokebook.control.records import EditionsRecord, ProcedureRecord, Records
from yokebook.data.entry import Entry
from yokebook.data.fields import PROCEDURE
from yokebook.data.load import bytes_of, tree_of
from yokebook.data.problems import read_entry
from yokebook.errors import Level, Problem, ProblemError, nearest

M = TypeVar("M", bound=Entry)
EDITIONS = "editions.yaml"
CARDS = "cards.yaml"
_UNFINISHED = ".partial"


def read_records(folder: Path, shown_as: str) -> tuple[Records, list[Problem]]:
    """Return the records below a folder, which problems call `shown_as`, and every problem in them.

    A department that never approved anything has no such folder and no records.
    """
    problems: list[Problem] = []
    names = sorted(path.name for path in folder.iterdir()) if folder.is_dir() else []
    procedures: dict[str, ProcedureRecord] = {}
    trees: dict[str, yamlfile.Mapping] = {}
    contents: dict[str, bytes] = {}
    broken: set[str] = set()
    for name in names:
        number = name.removesuffix(".yaml")
        if name != f"{number}.yaml" or not PROCEDURE.fullmatch(number):
            continue
        record = _read(ProcedureRecord, folder, shown_as, name, contents, trees, problems)
        if record:
            procedures[number] = record
        else:
            broken.add(name)
    kept = None
    if EDITIONS in names:
        kept = _read(EditionsRecord, folder, shown_as, EDITIONS, contents, trees, problems)
    if EDITIONS in names and kept is None:
        broken.add(EDITIONS)
    problems += _strangers(names, shown_as)
    editions = kept.editions if kept else ()
    return Records(shown_as, procedures, editions, trees, frozenset(broken), contents), problems


def _read(
    model: type[M],
    folder: Path,
    shown_as: str,
    name: str,
    contents: dict[str, bytes],
    trees: dict[str, yamlfile.Mapping],
    problems: list[Problem],
) -> M | None:
    """Return the record in a file, or None with its problems told; its bytes and its tree are kept by its name."""
    file = f"{shown_as}/{name}"
    try:
        contents[name] = bytes_of(folder / name, file)
        tree = trees[name] = tree_of(contents[name], file)
    except ProblemError as error:
        problems += error.problems
        return None
    record, found = read_entry(model, tree, file)
    problems += found
    return record


def _strangers(names: list[str], shown_as: str) -> Iterator[Problem]:
    """Yield a warning for each file that nothing is read from: a record under a wrong name would be lost in silence."""
    for name in names:
        known = PROCEDURE.fullmatch(name.removesuffix(".yaml")) and name.endswith(".yaml")
        if known or name in (EDITIONS, CARDS, approved.FOLDER) or name.startswith(".") or name.endswith(_UNFINISHED):
            continue
        yield Problem(
            f"{shown_as}/{name}",
            0,
            0,
            Level.WARNING,
            "W701",
            "nothing here is read from this file",
            allowed=f"{EDITIONS}, {CARDS}, the folder {approved.FOLDER}, a file named by the number of each procedure",
            example="CYL-01.yaml",
            suggestion=_meant(name),
        )


def _meant(name: str) -> str:
    stem = name.partition(".")[0].upper().replace("_", "-")
    return f"{stem}.yaml" if PROCEDURE.fullmatch(stem) else nearest(name, (EDITIONS, CARDS, approved.FOLDER))
