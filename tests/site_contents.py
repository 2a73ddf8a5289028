"""What a built site holds."""

from __future__ import annotations

from pathlib import Path


def content_of(folder: Path) -> dict[str, bytes]:
    """Return each file below a folder with its bytes."""
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}
