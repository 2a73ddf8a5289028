"""A page as it is read: its words, its numbers and the files that it shows; what an approval was given for.

The same form comes from a page just worked out, from a record of what was approved, and from a published edition.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from yokebook.control.standing import Withdrawal
from yokebook.words import Block, block_of

NUMBERS, WORDS = "numbers", "words"
"""The folders of an edition that hold the list of numbers, and the words, of each page."""
_OF_A_CALL = ("name", "arguments", "rows", "columns", "shown", "value", "unit", "rounding", "keys", "inputs")
_UNREAD_TEXTS = ("working",)


class UnreadableError(ValueError):
    """A file that should hold a page as it was read holds something else."""


@dataclass(frozen=True)
class PageAsRead:
    """One page: its path below the folder of pages, and what a reader reads.

    `calls` are plain lists of numbers, workings left out; `files` has the SHA-256 of each picture by its path.
    `withdrawal` is that of a page which is its notice alone.
    """

    path: str
    procedure: str
    title: str
    words: tuple[Block, ...] = ()
    calls: tuple[Mapping[str, Any], ...] = ()
    files: Mapping[str, str] = field(default_factory=dict)
    withdrawal: Withdrawal | None = None

    def to_json(self) -> str:
        """Return it as JSON text, the same for the same page."""
        calls = [dict(call) for call in self.calls]
        return _json({"path": self.path, **self._head(), "calls": calls, "words": self._plain_words()})

    def words_json(self) -> str:
        """Return what an edition keeps of it beside its list of numbers."""
        return _json({**self._head(), "words": self._plain_words()})

    def _head(self) -> dict[str, Any]:
        told = {"withdrawal": self.withdrawal.as_plain()} if self.withdrawal else {}
        return {"procedure": self.procedure, "title": self.title, "files": dict(sorted(self.files.items())), **told}

    def _plain_words(self) -> list[dict[str, Any]]:
        return [block.as_plain() for block in self.words]


def call_as_read(numbers: Mapping[str, Any]) -> dict[str, Any]:
    """Return a call's part of the list of numbers without what no reader acts on: workings and nominal values."""
    texts = {name: text for name, text in numbers["texts"].items() if name not in _UNREAD_TEXTS}
    return {key: numbers[key] for key in _OF_A_CALL} | {"texts": texts}


def from_json(text: str) -> PageAsRead:
    """Return the page that was written as JSON text. Raises UnreadableError for a text that holds none."""
    try:
        plain = json.loads(text)
        return _page(plain["path"], plain, plain["calls"])
    except (ValueError, TypeError, KeyError, AttributeError) as error:
        raise UnreadableError(f"this is no page as it was read ({error})") from None


def read_edition(folder: Path) -> dict[str, PageAsRead]:
    """Return the pages of an edition by path, from its lists of words and numbers.

    Raises UnreadableError, with the name of the file, for a file that holds none, and OSError where it can't be read.
    """
    pages: dict[str, PageAsRead] = {}
    for file in sorted((folder / WORDS).rglob("*.json")):
        name = file.relative_to(folder / WORDS)
        path = name.with_suffix(".md").as_posix()
        try:
            words = json.loads(file.read_text(encoding="utf-8"))
            numbers = json.loads((folder / NUMBERS / name).read_text(encoding="utf-8"))
            pages[path] = _page(path, words, numbers["calls"])
        except (ValueError, TypeError, KeyError, AttributeError) as error:
            raise UnreadableError(f"{file}: this is no page as it was read ({error})") from None
    return pages


def _page(path: str, plain: Mapping[str, Any], calls: Sequence[Mapping[str, Any]]) -> PageAsRead:
    words = tuple(block_of(block) for block in plain["words"])
    files = {str(name): str(digest) for name, digest in plain["files"].items()}
    read = tuple(call_as_read(call) for call in calls)
    told = plain.get("withdrawal")
    withdrawal = Withdrawal.from_plain(told) if told else None
    return PageAsRead(str(path), str(plain["procedure"]), str(plain["title"]), words, read, files, withdrawal)


def _json(plain: Mapping[str, Any]) -> str:
    return json.dumps(plain, ensure_ascii=False, indent=1) + "\n"
