"""What the head and the foot of a page say of its issue."""

from __future__ import annotations

from datetime import date

import pytest

from yokebook.control.standing import DRAFT, EditionMark, Standing, State
from yokebook.site.page_context import PageContext

FIRST, SECOND = date(2026, 1, 12), date(2026, 3, 16)


@pytest.mark.parametrize(
    ("state", "issue", "since", "edition", "expected"),
    [
        (State.DRAFT, None, None, DRAFT, ("none yet", None)),
        (State.DRAFT, 2, FIRST, DRAFT, ("none yet; last on record 2", None)),
        (State.APPROVED, 2, None, DRAFT, ("2", None)),
        (State.IN_FORCE, 2, FIRST, DRAFT, ("2", FIRST)),
        (State.IN_FORCE, 2, None, EditionMark(2, SECOND), ("2", SECOND)),
        (State.IN_FORCE, 1, FIRST, EditionMark(2, SECOND), ("1", FIRST)),
        (State.WITHDRAWN, 1, FIRST, EditionMark(2, SECOND), ("1", FIRST)),
    ],
)
def test_a_draft_is_no_issue_and_never_in_force(
    state: State, issue: int | None, since: date | None, edition: EditionMark, expected: tuple[str, date | None]
) -> None:
    """Nobody reads on a draft since when it holds: what was in force is another text."""
    standing = Standing("CYL-01", "Changing a cylinder", state, "equipment lead", issue, in_force_since=since)
    page = PageContext(standing, edition, "../../", "Larkmoor", ())
    assert expected == (page.issue, page.in_force_from)
