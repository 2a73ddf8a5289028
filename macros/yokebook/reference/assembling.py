"""A reference ready to be built: how each procedure stands, and the pages that the department's records give."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from yokebook.reference import incidents, register_page
from yokebook.reference.approval import Control, work_out_with_records
from yokebook.reference.cards import cards_of
from yokebook.reference.changes import EditionChanges
from yokebook.reference.generated import GeneratedPage
from yokebook.reference.whole import Reference
from yokebook.reference.withdrawn_pages import for_readers


def assemble(
    control: Control, further: Sequence[GeneratedPage] = (), changes: EditionChanges | None = None
) -> Reference:
    """Return the reference of a department with what its records say, with further pages, and with changes marked."""
    reference = for_readers(control)
    pages = [*register_page.pages(control.register), *further]
    entries: list[incidents.LogEntry] = []
    if reference.department:
        authored = [worked.page for worked in reference.pages.values()]
        entries = incidents.entries_of(authored, reference.department, control.records)
    if log := incidents.learning_log(entries):
        pages.append(log)
    marked = changes.marked_pages(reference) if changes else {}
    marked |= {
        entry.path: incidents.with_facts(marked.get(entry.path) or reference.pages[entry.path].html, entry)
        for entry in entries
    }
    cards = cards_of(control).cards
    return replace(
        reference,
        generated={page.path: page for page in pages},
        standings=control.standings,
        cards=cards,
        marked=marked,
    )


def assembled(folder: Path) -> Reference:
    """Return the reference of a department's folder, worked out and ready to be built as a draft."""
    return assemble(work_out_with_records(folder))
