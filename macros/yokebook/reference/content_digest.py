"""A digest of all that an edition is made of, but for the records and the edition's own number and day."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from hashlib import sha256
from pathlib import Path

from yokebook.control.reading import CARDS
from yokebook.control.standing import Withdrawal
from yokebook.reference.layout import CONFIG, CONTROL, DATA, PAGES
from yokebook.reference.whole import Reference

_TEXT = (".md", ".yaml", ".yml")


def content_digest(reference: Reference, withdrawn: Mapping[str, Withdrawal]) -> str:
    """Return the digest: what authors wrote, what calls gave, the data, the register of cards, what is withdrawn."""
    digest = sha256()
    for name, content in _parts(reference, withdrawn):
        for part in (name.encode(), content):
            digest.update(f"{len(part)}:".encode() + part)
    return digest.hexdigest()


def _parts(reference: Reference, withdrawn: Mapping[str, Withdrawal]) -> Iterator[tuple[str, bytes]]:
    for path in _files(reference):
        content = path.read_bytes()
        is_text = path.suffix in _TEXT
        name = path.relative_to(reference.folder).as_posix()
        yield name, content.replace(b"\r\n", b"\n") if is_text else content
    for page, worked in sorted(reference.pages.items()):
        yield f"html of {page}", worked.html.encode()
    for number, withdrawal in sorted(withdrawn.items()):
        yield f"withdrawn {number}", f"{withdrawal.on} {withdrawal.reason} {withdrawal.instead}".encode()


def _files(reference: Reference) -> Iterator[Path]:
    """Yield each file of the department that an edition depends on; hidden ones are none of them, nor unused ones."""
    folder, used = reference.folder, reference.used_files
    for name in (CONFIG, f"{CONTROL}/{CARDS}"):
        if (folder / name).is_file():
            yield folder / name
    for part in (DATA, PAGES):
        for path in sorted((folder / part).rglob("*")):
            hidden = any(step.startswith(".") for step in path.relative_to(folder).parts)
            is_used = part == DATA or path.suffix == ".md" or path.relative_to(folder / PAGES).as_posix() in used
            if path.is_file() and not hidden and is_used:
                yield path
