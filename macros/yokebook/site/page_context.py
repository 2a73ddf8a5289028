"""What our templates are told of a page beside its text."""

from __future__ import annotations

from dataclasses import dataclass

from yokebook.control.standing import EditionMark, Standing


@dataclass(frozen=True)
class PageContext:
    """One page: how it stands (None for a page that no author wrote), its edition, and the way to the target's root."""

    standing: Standing | None
    edition: EditionMark
    root: str
    department: str
    machines: tuple[str, ...]

    @property
    def code(self) -> str:
        """The number of its procedure, "" where it has none."""
        return self.standing.procedure if self.standing else ""


def way_to_root(url: str) -> str:
    """Return the way from a page's address in its edition to the root of the target, two folders above the edition.

    >>> way_to_root("index.html"), way_to_root("procedures/plug.html")
    ('../../', '../../../')
    """
    return "../" * (url.count("/") + 2)
