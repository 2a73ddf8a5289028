"""What our templates are told of a page beside its text."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from yokebook.control.standing import EditionMark, Standing, State
from yokebook.site.pdf import PdfLink
from yokebook.site.qr import drawing, stable_address


@dataclass(frozen=True)
class PageContext:
    """One page: how it stands (None for a page that no author wrote), its edition, and the way to the target's root.

    `review` is the title of the review that its issue answers, "" where it answers none.
    `base_url` is the address of the target's root, "" where the department gives none. In a preview the host puts a
    script of its own into each page. `pdfs` are the ways to the PDFs of it, none where none are made.
    """

    standing: Standing | None
    edition: EditionMark
    root: str
    department: str
    machines: tuple[str, ...]
    base_url: str = ""
    is_preview: bool = False
    review: str = ""
    pdfs: tuple[PdfLink, ...] = ()

    @property
    def code(self) -> str:
        """The number of its procedure, "" where it has none."""
        return self.standing.procedure if self.standing else ""

    @property
    def issue(self) -> str:
        """Which issue it is, in words: a draft is none, whatever is on record of its procedure."""
        on_record = self.standing.issue if self.standing else None
        if on_record is None:
            return "none yet"
        return f"none yet; last on record {on_record}" if self._is_draft else str(on_record)

    @property
    def in_force_from(self) -> date | None:
        """From which day it is in force: an issue that was never published, from its edition on; a draft never."""
        if self.standing is None or self._is_draft:
            return None
        return self.standing.in_force_since or self.edition.in_force

    @property
    def _is_draft(self) -> bool:
        return self.standing is not None and self.standing.state is State.DRAFT

    @property
    def address(self) -> str:
        """Where the procedure is found as it is now, "" where that is not known."""
        return stable_address(self.base_url, self.code) if self.base_url and self.code else ""

    @property
    def qr(self) -> str:
        """The QR code of that address, as an SVG element."""
        return drawing(self.address)
