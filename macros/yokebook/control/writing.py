"""Writes the department's records as YAML that the same strict reader reads back, each file whole or not at all."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any, TypeVar

from yokebook import yamlfile
from yokebook.data.entry import Entry
from yokebook.data.problems import read_entry
from yokebook.errors import Problem
from yokebook.files import write_whole

M = TypeVar("M", bound=Entry)
Plain = dict[str, Any]
"""A record as texts, lists and keys, as it is written."""
_HEAD = "# Written by the program, and kept with the pages. Never published; not to be changed by hand.\n"
_NEEDS_NO_QUOTES = re.compile(r"[A-Za-z0-9]([A-Za-z0-9 ._/()-]*[A-Za-z0-9._/()-])?")
_WIDEST = 120


def as_plain(entry: Entry) -> Plain:
    """Return a record as texts; what it does not say is left out."""
    plain = _texts(entry.model_dump(exclude_defaults=True, by_alias=True))
    assert isinstance(plain, dict)
    return plain


def _texts(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {key: _texts(inner) for key, inner in value.items()}
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, (list, tuple)):
        return [_texts(inner) for inner in value]
    return str(value)


def as_yaml(plain: Plain) -> str:
    """Return the text of a record's file.

    >>> print(as_yaml({"issues": [{"number": "1", "reason": "a: b"}]}).partition("hand.")[2].strip())
    issues:
      - {number: 1, reason: "a: b"}
    """
    return _HEAD + "\n".join(_lines(plain, "")) + "\n"


def read_back(model: type[M], text: str, file: str) -> tuple[M | None, list[Problem]]:
    """Return the record that a text holds, or None with what is wrong with it, as a later run will read it."""
    return read_entry(model, yamlfile.read(text, file), file)


def write_record(folder: Path, name: str, text: str) -> None:
    """Put the text of a record in its place below the folder of records."""
    write_whole(folder / name, text.encode("utf-8"))


def one_line(text: str) -> str:
    """Return what somebody typed as one line of signs that can be seen.

    >>> one_line(" the yoke\\n hissed ")
    'the yoke hissed'
    """
    return "".join(sign for sign in " ".join(text.split()) if sign.isprintable())


def _lines(value: Plain, indent: str) -> Iterator[str]:
    for key, inner in value.items():
        if flow := _flow(inner, len(indent) + len(key) + 2):
            yield f"{indent}{key}: {flow}"
        elif isinstance(inner, Mapping):
            yield f"{indent}{key}:"
            yield from _lines(dict(inner), indent + "  ")
        else:
            yield f"{indent}{key}:"
            yield from _items(inner, indent + "  ")


def _items(items: Sequence[Any], indent: str) -> Iterator[str]:
    for item in items:
        if flow := _flow(item, len(indent) + 2):
            yield f"{indent}- {flow}"
            continue
        first, *others = _lines(item, "")
        yield f"{indent}- {first}"
        yield from (f"{indent}  {line}" for line in others)


def _flow(value: Any, before: int) -> str:
    """Return a value in one line, "" where it takes more, or holds what is easier to read below one another."""
    if isinstance(value, str):
        return _scalar(value)
    inner = list(value.values()) if isinstance(value, Mapping) else list(value)
    if inner and not all(isinstance(part, str) for part in inner):
        return ""
    if isinstance(value, Mapping):
        text = "{" + ", ".join(f"{key}: {_scalar(part)}" for key, part in value.items()) + "}"
    else:
        text = "[" + ", ".join(_scalar(part) for part in inner) + "]"
    return text if before + len(text) <= _WIDEST else ""


def _scalar(text: str) -> str:
    if _NEEDS_NO_QUOTES.fullmatch(text) and text.lower() != "null":
        return text
    return json.dumps(text, ensure_ascii=False)
