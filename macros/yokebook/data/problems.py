"""Faults of an entry as problems at their places in its file."""

from __future__ import annotations

from typing import TypeVar

from yokebook import yamlfile
from yokebook.data.entry import Entry
from yokebook.data.faults import Path
from yokebook.data.reading import read
from yokebook.data.sources import problem_at
from yokebook.errors import Problem

M = TypeVar("M", bound=Entry)


def read_entry(
    model: type[M], tree: yamlfile.Mapping, file: str, path: Path = (), name: str = ""
) -> tuple[M | None, list[Problem]]:
    """Return the model of what stands at a path of a tree, or None with all that is wrong with it.

    `name` is the one under which its file lists the entry, where it does.
    """
    node, _ = yamlfile.find(tree, path)
    entry, faults = read(model, node, name)
    return entry, [
        problem_at(tree, file, path, fault, "" if ": " in fault.example else model.example_of(fault.at))
        for fault in faults
    ]
