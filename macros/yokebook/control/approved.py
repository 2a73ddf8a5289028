"""What was approved, as it was read that day: kept beside the record, so that a check can say what moved since."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from yokebook.control import as_read
from yokebook.control.as_read import PageAsRead, UnreadableError

FOLDER = "approved"


@dataclass(frozen=True)
class AsApproved:
    """A page as it was read, and what the data kept in each entry that its calls went to."""

    page: PageAsRead
    data: Mapping[str, str]

    def to_bytes(self) -> bytes:
        """Return the bytes of its file, the same for the same page and data."""
        plain = {"data": dict(sorted(self.data.items())), "page": json.loads(self.page.to_json())}
        return (json.dumps(plain, ensure_ascii=False, indent=1) + "\n").encode("utf-8")


def from_bytes(content: bytes) -> AsApproved:
    """Return what the bytes of a file hold. Raises UnreadableError for a file that holds something else."""
    try:
        plain = json.loads(content)
        data = {str(key): str(text) for key, text in plain["data"].items()}
        return AsApproved(as_read.from_json(json.dumps(plain["page"])), data)
    except (ValueError, TypeError, KeyError, AttributeError) as error:
        raise UnreadableError(f"this is nothing that was approved ({error})") from None


def file_of(folder: Path, procedure: str, issue: int) -> Path:
    """Return where what was approved lies below the folder of records."""
    return folder / FOLDER / f"{procedure}-{issue}.json"


def read(folder: Path, procedure: str, issue: int, digest: str) -> AsApproved | None:
    """Return what was approved as an issue, None where its file is not the one with the digest of the record."""
    content = kept(folder, procedure, issue, digest)
    try:
        return from_bytes(content) if content is not None else None
    except UnreadableError:
        return None


def kept(folder: Path, procedure: str, issue: int, digest: str) -> bytes | None:
    """Return the bytes of what was approved as an issue, None where they are not those with the record's digest."""
    try:
        content = file_of(folder, procedure, issue).read_bytes()
    except OSError:
        return None
    return content if digest_of(content) == digest else None


def digest_of(content: bytes) -> str:
    """Return the SHA-256 of what was approved; a system that ends lines with CRLF does not change it."""
    return sha256(content.replace(b"\r\n", b"\n")).hexdigest()
