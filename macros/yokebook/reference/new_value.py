"""Another value in the text of a data file: the rest of the file stays as it is, to the byte."""

from __future__ import annotations

import re
from typing import Any

from yokebook import yamlfile
from yokebook.data.faults import Path
from yokebook.errors import ProblemError

_QUOTED = re.compile(r"""'(?:[^'\n]|'')*'|"(?:[^"\\\n]|\\.)*\"""")


class CannotReplaceError(ValueError):
    """A key whose value cannot be tried; the words say why."""


def with_value(text: str, path: Path, new: str, file: str) -> str:
    """Return the text of a data file with another value at a path, quoted where YAML would read it otherwise.

    Raises CannotReplaceError for a branch of keys, a value that is not written, or one that spans lines.
    """
    node, _ = yamlfile.find(yamlfile.read(text, file), path)
    kept = _plain_at(text, path, file)
    if isinstance(kept, dict | list):
        raise CannotReplaceError("this key has further keys; only one value can be tried at a time")
    if kept is None or not isinstance(node, yamlfile.Scalar):
        raise CannotReplaceError("no value is written there; write one into the file first, then try others")
    start, end = _span(text, node)
    quoted = "'" + new.replace("'", "''") + "'"
    for written in (new, quoted):
        changed = text[:start] + written + text[end:]
        if _plain_at(changed, path, file) == new:
            return changed
    raise CannotReplaceError(f"{new!r} cannot be written as one value")


def _span(text: str, node: yamlfile.Scalar) -> tuple[int, int]:
    """Return where a value begins and ends in the text, its quotes included."""
    start = sum(len(line) for line in text.splitlines(keepends=True)[: node.line - 1]) + node.column - 1
    if node.quoted:
        found = _QUOTED.match(text, start)
        if found:
            return start, found.end()
    elif text.startswith(node.text, start):
        return start, start + len(node.text)
    raise CannotReplaceError("this value goes over several lines; try it in a copy of the file")


def _plain_at(text: str, path: Path, file: str) -> Any:
    """Return what stands at a path of a text, None where it cannot be read."""
    try:
        value = yamlfile.plain(yamlfile.read(text, file))
        for step in path:
            value = value[step]
    except (ProblemError, KeyError, IndexError, TypeError):
        return None
    return value
