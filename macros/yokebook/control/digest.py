"""The digest that an approval is given for: it covers the numbers a reader reads, not only the author's words.

It falls when a shown number, unit, rounding or word of a call moves, what the row finder says of a table, or a
file that it shows or links to; it stays through floats beyond what is shown, workings, labels that stand there alone,
renamed data keys and anything that the department decided about the page.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

_FIRST_LINE = "yokebook-digest 1"
_BOM = b"\xef\xbb\xbf"


@dataclass(frozen=True)
class Digest:
    """The whole digest and its three parts (hexadecimal SHA-256), so that a check can say which part moved."""

    whole: str
    page: str
    calls: str
    files: str


def of_page(page: bytes, calls: Iterable[tuple[str, Mapping[str, Any]]], files: Iterable[tuple[str, bytes]]) -> Digest:
    """Return the digest of a page.

    `page`: the file's bytes; `calls`: for each call in page order its canonical text and what a reader reads from it;
    `files`: for each local file that the page shows or links to, its path and bytes.
    """
    page_line = _hash(_with_plain_ends(page.removeprefix(_BOM)))
    call_lines = [line for text, as_read in calls for line in (text, _canonical(as_read))]
    file_lines = [f"{path} {of_file(path, content)}" for path, content in sorted(files)]
    return Digest(
        whole=_hash_lines([_FIRST_LINE, page_line, *call_lines, *file_lines]),
        page=page_line,
        calls=_hash_lines(call_lines),
        files=_hash_lines(file_lines),
    )


def of_file(path: str, content: bytes) -> str:
    """Return the SHA-256 of such a file; CRLF in an SVG, which is text, counts as LF, as it does for its reader.

    The standard says so (XML 1.0, 2.11, End-of-Line Handling).
    """
    return _hash(_with_plain_ends(content) if path.lower().endswith(".svg") else content)


def _with_plain_ends(text: bytes) -> bytes:
    return text.replace(b"\r\n", b"\n")


def _canonical(as_read: Mapping[str, Any]) -> str:
    return json.dumps(as_read, ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def _hash(content: bytes) -> str:
    return sha256(content).hexdigest()


def _hash_lines(lines: Iterable[str]) -> str:
    return _hash("".join(f"{line}\n" for line in lines).encode())
