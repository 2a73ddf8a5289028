"""Where each key of the data stands, so that a fault found late can still point at its line."""

from __future__ import annotations

from dataclasses import dataclass, field

from yokebook import yamlfile
from yokebook.data.faults import Fault, Path
from yokebook.errors import Problem

FILES = ("department", "cylinders", "gauges", "machines", "uses", "places", "scales")
"""The files of the data, each the first step of the keys within it."""


def key_text(path: Path) -> str:
    """Return a data key as authors write it in a call.

    >>> key_text(("cylinders", "oxygen-e", "filling", "pressure"))
    'cylinders["oxygen-e"].filling.pressure'
    >>> key_text(("machines", "theatre-1", "yokes", 0, "gas"))
    'machines["theatre-1"].yokes[0].gas'
    """
    parts = [str(path[0])]
    for step in path[1:]:
        if isinstance(step, int):
            parts.append(f"[{step}]")
        elif step.isidentifier():
            parts.append(f".{step}")
        else:
            parts.append(f'["{step}"]')
    return "".join(parts)


@dataclass(frozen=True)
class Sources:
    """The trees of the data's files with the names that problems give these files."""

    folder: str
    trees: dict[str, yamlfile.Mapping] = field(default_factory=dict)

    def file(self, stem: str) -> str:
        """Return how a problem names the file of a first step."""
        return f"{self.folder}/{stem}.yaml"

    def place(self, path: Path, *, on_key: bool = False) -> tuple[str, int, int]:
        """Return file, line and column of the value that a path leads to, or of its key.

        Where the path goes on past what is written, it is the deepest key that is; line 0 for a file that is not there.
        """
        stem = str(path[0])
        tree = self.trees.get(stem)
        return (self.file(stem), *place_in(tree, path[1:], on_key=on_key)) if tree else (self.file(stem), 0, 0)

    def problem(self, path: Path, fault: Fault, example: str = "") -> Problem:
        """Return a fault, found at a path, as a problem at its place in a file."""
        stem = str(path[0])
        return problem_at(self.trees.get(stem), self.file(stem), path[1:], fault, example)


def place_in(tree: yamlfile.Mapping, path: Path, *, on_key: bool = False) -> tuple[int, int]:
    """Return line and column of the value that a path leads to in a tree, or of its key; else of the deepest key."""
    node, key = yamlfile.find(tree, path)
    point = node if key is None or (_leads(tree, path) and not on_key) else key
    return point.line, point.column


def problem_at(tree: yamlfile.Mapping | None, file: str, path: Path, fault: Fault, example: str = "") -> Problem:
    """Return a fault, found at a path of a tree, as a problem at its place in the file; line 0 without a tree.

    An `example` given here goes before the fault's own: it is that of the very key.
    """
    at = path + fault.at
    line, column = place_in(tree, at, on_key=fault.on_key) if tree else (0, 0)
    written = fault.written
    if written is None:
        node, key = yamlfile.find(tree, at) if tree and _leads(tree, at) else (None, None)
        text = key if fault.on_key and key else node
        written = text.text if isinstance(text, yamlfile.Scalar) else ""
    if at and isinstance(at[-1], str) and (example or (fault.example and _is_bare(fault))):
        example = f"{at[-1]}: {example or fault.example}"
    return Problem(
        file, line, column, fault.level, fault.code, fault.wrong, written=written, allowed=fault.allowed,
        example=example or fault.example, suggestion=fault.suggestion,
    )  # fmt: skip


def _is_bare(fault: Fault) -> bool:
    """Return whether a fault's example is a value alone, without the key to which it belongs."""
    return not fault.on_key and ": " not in fault.example


def _leads(tree: yamlfile.Mapping, path: Path) -> bool:
    """Return whether each step of a path exists in a tree."""
    return not path or yamlfile.find(tree, path)[0] is not yamlfile.find(tree, path[:-1])[0]
