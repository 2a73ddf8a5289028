"""A data key as authors and reviewers write it, and the text that is kept under it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from hashlib import sha256

from yokebook import yamlfile
from yokebook.data.faults import Path
from yokebook.data.sources import Sources

_STEP = re.compile(r"""\.?([^\W\d][\w-]*|[0-9][\w-]*)|\[([0-9]+)\]|\[["']([^"'\[\]]+)["']\]""")
_QUOTED = re.compile(r"""\[["'](\w[\w-]*)["']\]""")
_LONGEST = 80
NOT_GIVEN = "not given"
"""What stands for the value of a key that the data leaves out."""
ENTRY = "entry "
"""What the text of a branch too long to print begins with; its digest follows."""


def steps_of(key: str) -> tuple[str, ...] | None:
    """Return the steps of a key, None where it is not written as one.

    >>> steps_of('cylinders["oxygen-e"].filling.pressure') == steps_of("cylinders.oxygen-e.filling.pressure")
    True
    >>> steps_of('machines["theatre-1"].yokes[0].gas'), steps_of("cylinders..gas")
    (('machines', 'theatre-1', 'yokes', '0', 'gas'), None)
    """
    steps, at = [], 0
    while at < len(key):
        found = _STEP.match(key, at)
        if not found or (found.group().startswith(".") and at == 0):
            return None
        if found.group(1) and at and not found.group().startswith("."):
            return None
        steps.append(next(group for group in found.groups() if group is not None))
        at = found.end()
    return tuple(steps) or None


def dotted(key: str) -> str:
    """Return a key with each of its names behind a dot, as it is typed most easily; one with a space stays quoted.

    >>> dotted('machines["theatre-1"].yokes[0].gas'), dotted('machines["theatre-1"].pipeline["nitrous oxide"]')
    ('machines.theatre-1.yokes[0].gas', 'machines.theatre-1.pipeline["nitrous oxide"]')
    """
    return _QUOTED.sub(r".\1", key)


def resolve(sources: Sources, steps: Iterable[str]) -> Path:
    """Return steps as a path of the data: those into a list are places in it, as far as the data goes along."""
    path: list[str | int] = []
    node: yamlfile.Node | None = None
    for step in steps:
        path.append(int(step) if isinstance(node, yamlfile.Items) and step.isdecimal() else step)
        node = _node(sources, tuple(path))
    return tuple(path)


def kept(sources: Sources, keys: Iterable[str]) -> dict[str, str]:
    """Return the text kept under each key, as an author wrote it: what names the cause of a number that moved."""
    return {key: kept_text(sources, resolve(sources, steps_of(key) or ())) for key in sorted(set(keys))}


def is_kept(sources: Sources, path: Path) -> bool:
    """Return whether the data has something written at a path."""
    return _node(sources, path) is not None


def kept_text(sources: Sources, path: Path) -> str:
    """Return what is kept at a path: a value as written, a small branch with its keys, the digest of a large one."""
    node = _node(sources, path)
    if node is None or yamlfile.is_empty(node):
        return NOT_GIVEN
    text = _flat(node)
    return text if len(text) <= _LONGEST else ENTRY + sha256(text.encode()).hexdigest()[:12]


def _node(sources: Sources, path: Path) -> yamlfile.Node | None:
    node: yamlfile.Node | None = sources.trees.get(str(path[0])) if path else None
    for step in path[1:]:
        if isinstance(node, yamlfile.Mapping) and isinstance(step, str):
            node = node.values.get(step)
        elif isinstance(node, yamlfile.Items) and isinstance(step, int) and step < len(node.items):
            node = node.items[step]
        else:
            return None
    return node


def _flat(node: yamlfile.Node) -> str:
    if isinstance(node, yamlfile.Mapping):
        return ", ".join(f"{key}: {_inner(value)}" for key, value in node.values.items())
    if isinstance(node, yamlfile.Items):
        return ", ".join(_inner(item) for item in node.items)
    return NOT_GIVEN if yamlfile.is_empty(node) else node.text


def _inner(node: yamlfile.Node) -> str:
    text = _flat(node)
    return text if isinstance(node, yamlfile.Scalar) else f"{{{text}}}"
