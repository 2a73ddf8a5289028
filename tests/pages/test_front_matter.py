"""The front matter: read strictly, with the lines of the page."""

from __future__ import annotations

import pytest

from yokebook.errors import ProblemError
from yokebook.pages import front_matter
from yokebook.pages.page import read_page

PAGE = "---\ntitle: A page\nprocedure: CYL-01\nowner: equipment lead\n---\n\nText.\n"


@pytest.mark.parametrize(
    "content",
    [
        PAGE.encode(),
        b"\xef\xbb\xbf" + PAGE.encode(),
        PAGE.replace("\n", "\r\n").encode(),
        PAGE.replace("\n", "\r").encode(),
    ],
    ids=["plain", "BOM", "CRLF", "CR"],
)
def test_a_page_is_cut_in_two(content: bytes) -> None:
    """The body starts after the second line of hyphens, at its true line, with LF line ends."""
    parts = front_matter.split(content, "p.md")
    assert ("\nText.\n", 6) == (parts.body, parts.body_line)
    assert parts.front is not None
    assert ["title", "procedure", "owner"] == list(parts.front.values)


@pytest.mark.parametrize(
    ("text", "code", "line"),
    [
        ("# No front matter\n", "E510", 1),
        ("---\ntitle: never closed\n", "E510", 1),
        ("---\ntitle: a: b\n---\n", "E002", 2),
        ("---\ntitle: a\ntitle: b\n---\n", "E003", 3),
    ],
)
def test_a_broken_front_matter_is_told_at_its_line(text: str, code: str, line: int) -> None:
    """Missing, not closed, not valid, a doubled key: never dropped in silence."""
    _, problems = read_page("p.md", "p.md", text.encode())
    assert [(code, line)] == [(problem.code, problem.line) for problem in problems]


def test_bytes_that_are_no_text_are_told_at_their_line() -> None:
    """A page saved in another encoding is refused, not guessed."""
    with pytest.raises(ProblemError) as caught:
        front_matter.split(PAGE.encode() + b"caf\xe9\n", "p.md")
    assert [("E001", 8)] == [(problem.code, problem.line) for problem in caught.value.problems]


@pytest.mark.parametrize(
    ("line", "code", "column", "wrong"),
    [
        ("procedure: cyl 1", "E511", 12, "this is not the number of a procedure"),
        ("ownr: equipment lead", "E201", 1, "the front matter has no such key"),
        ("machines: theatre-1", "E203", 11, "a list is wanted here"),
    ],
)
def test_a_wrong_field_is_told_at_its_place(line: str, code: str, column: int, wrong: str) -> None:
    """Each field of the front matter, at its line and column."""
    draft, problems = read_page("p.md", "content/pages/p.md", f"---\ntitle: A page\n{line}\n---\n".encode())
    assert draft is not None
    assert draft.page is None
    told = [(p.file, p.line, p.column, p.code, p.wrong) for p in problems if p.code == code]
    assert [("content/pages/p.md", 3, column, code, wrong)] == told


def test_problems_of_front_matter_and_body_come_together() -> None:
    """One bad part never hides the next."""
    _, problems = read_page("p.md", "p.md", b"---\nprocedure: CYL-01\n---\n{{ a + b }}\n")
    assert ["E202", "E202", "E501"] == sorted(problem.code for problem in problems)


def test_a_page_without_front_matter_has_its_text_checked_all_the_same() -> None:
    """Where the text begins is known, so its mistakes are told in the same run."""
    _, problems = read_page("p.md", "p.md", b"Text.\n\n{{ a + b }}\n")
    assert [("E510", 1), ("E501", 3)] == [(problem.code, problem.line) for problem in problems]


def test_a_control_character_is_told_at_its_line() -> None:
    """Markdown drops some of them, so that what stands around them would come together."""
    with pytest.raises(ProblemError) as caught:
        front_matter.split(PAGE.encode() + b"{\x02{ a }\x02}\n", "p.md")
    assert [("E812", 8, 2), ("E812", 8, 8)] == [(one.code, one.line, one.column) for one in caught.value.problems]


@pytest.mark.parametrize("title", ["{{ department.name }}", '"{{ department.name }}"', "about {{ a"])
def test_a_call_in_the_front_matter_is_told_once(title: str) -> None:
    """Whether YAML takes the braces for a mapping or for text, the call is the one thing to say."""
    _, problems = read_page("p.md", "p.md", f"---\ntitle: {title}\n---\n".encode())
    assert [("E570", 2, 8 + title.index("{{"))] == [(p.code, p.line, p.column) for p in problems if p.line == 2]
