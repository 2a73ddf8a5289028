"""Writes the department's records as YAML that the same strict reader reads back, each file whole or not at all."""

from __future__ import annotations

import errno
import json
import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from datetime import date
from pathlib import Path
from typing import Any, TypeVar

from yokebook import yamlfile
from yokebook.control.disk import Disk
from yokebook.control.records import ProcedureRecord
from yokebook.data.entry import Entry
from yokebook.data.problems import read_entry
from yokebook.errors import Problem, ProblemError
from yokebook.files import write_whole

M = TypeVar("M", bound=Entry)
Plain = dict[str, Any]
"""A record as texts, lists and keys, as it is written."""
_HEAD = "# Written by the program, and kept with the pages. Never published; not to be changed by hand.\n"
_NEEDS_NO_QUOTES = re.compile(r"[A-Za-z0-9]([A-Za-z0-9 ._/()-]*[A-Za-z0-9._/()-])?")
_WIDEST = 120
LOCK = ".writing.lock"
PATIENCE_S = 10.0
"""How long a run waits for another one, which writes two small files and is gone."""


class ChangedError(OSError):
    """A record that is no longer as it was when what is to be written was made of it."""


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


def write_record(
    folder: Path, name: str, text: str, before: bytes | None, first: Mapping[Path, bytes] | None = None
) -> None:
    """Put the text of a record in its place below the folder of records, and `first` the files that it speaks of.

    `before` is the record as it was read, None where there was none. Raises ChangedError, and writes nothing, where it
    is no longer so: what somebody wrote meanwhile would be lost. Else raises OSError as the system gives it.
    """
    place = folder / name
    with _alone(place):
        now = content_of(place)
        if now != before:
            wrong = "it was changed since it was read here, by another run of the program or by hand"
            raise ChangedError(errno.EBUSY, wrong + _says_now(name, now), str(place))
        for path, content in (first or {}).items():
            write_whole(path, content)
        write_whole(place, text.encode("utf-8"))


def content_of(path: Path) -> bytes | None:
    """Return the bytes of a record's file, None where there is none, or none that can be read."""
    try:
        return path.read_bytes()
    except OSError:
        return None


@contextmanager
def _alone(place: Path) -> Iterator[None]:
    """Keep other runs of the program from writing records while one is looked at and written."""
    disk, path = Disk(), place.with_name(LOCK)
    disk.make_folder(place.parent)
    try:
        lock = disk.lock(path, PATIENCE_S)
    except OSError:  # a disk that knows no locks, or the file of somebody else: a moment is left open, and no more
        yield
        return
    if lock is None:
        raise OSError(errno.EBUSY, "another run of the program is writing records here; wait for it", str(place))
    try:
        yield
    finally:
        with suppress(OSError):  # while it is held: whoever takes a lock on a file that is gone takes it anew
            disk.remove(path)
        lock.release()


def _says_now(name: str, content: bytes | None) -> str:
    """Return what a procedure's record says now, as the end of a sentence; "" for a file that says nothing."""
    if content is None:
        return "; it is no longer there"
    try:
        record, _ = read_back(ProcedureRecord, content.decode("utf-8"), name)
    except (ProblemError, UnicodeDecodeError):
        return ""
    if record is None:
        return ""
    if record.withdrawn:
        return f"; it now says: withdrawn on {record.withdrawn.on}"
    newest = record.newest
    signed = ", ".join(f"{signature.role} {signature.name} on {signature.on}" for signature in newest.approvals)
    looked_at = f", last looked at on {newest.reviews[-1].on}" if newest.reviews else ""
    return f"; it now says: issue {newest.number}, approved by {signed}{looked_at}"


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
