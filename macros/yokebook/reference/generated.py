"""Pages that no author writes: what the department's records say, laid out for readers."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class GeneratedPage:
    """One page: its path below the folder of pages (without ending), its title, and its finished HTML."""

    path: str
    title: str
    html: str
