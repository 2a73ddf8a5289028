"""Marks in the margin: on what moved, and on nothing else."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from changing_site import change_data, change_page, lay_out, read, worked
from yokebook.control.change_marks import cell_blocks, marks
from yokebook.control.comparison import compare_pages
from yokebook.pages import words

MARKED = re.compile(r'<(\w+)[^>]*class="(yb-changed|yb-cut)[^>]*>([^<]*)')


@pytest.fixture
def site(tmp_path: Path) -> Path:
    return lay_out(tmp_path / "site")


def marked(site: Path, *, page: str = "changing.md", **changed: tuple[str, str]) -> list[tuple[str, str, str]]:
    """Return tag, mark and text of what is marked on a page after changes of files, named by their stems."""
    before = read(site)
    for stem, (old, new) in changed.items():
        if stem in ("changing", "words"):
            change_page(site, f"{stem}.md", old, new)
        else:
            change_data(site, f"{stem}.yaml", old, new)
    now = read(site)[page]
    found = marks(before[page], now, compare_pages(before[page], now))
    return MARKED.findall(words.mark(worked(site).pages[page].html, found))


def test_a_sentence_with_a_number_that_moved_is_marked(site: Path) -> None:
    """Though its words are the same."""
    assert [("p", "yb-changed", "Change it at ")] == marked(
        site, department=("change_time: 5 min", "change_time: 9 min")
    )


def test_just_the_cells_that_moved_are_marked(site: Path) -> None:
    """A table of six numbers in which some moved: each cell that differs, and no other."""
    before = worked(site).pages["changing.md"].results[2].numbers
    found = marked(site, department=("keep_back: 10 bar", "keep_back: 12 bar"))
    after = worked(site).pages["changing.md"].results[2].numbers
    assert before is not None
    assert after is not None
    was, now = ([cell.text for row in call.cells for cell in row] for call in (before, after))
    moved = [new for old, new in zip(was, now, strict=True) if old != new]
    assert 0 < len(moved) < len(now)
    assert moved == [text for tag, _, text in found if tag == "td"]


def test_a_head_in_which_a_number_moved_is_marked(site: Path) -> None:
    """That of its column, beside the cells; the other heads stay as they were."""
    found = marked(site, machines=("high: 9 L/min", "high: 10 L/min"))
    assert [("th", "yb-changed", "Ventilator, 1\u00a0L/min set: up to 11.1\u00a0L/min")] == [
        mark for mark in found if mark[0] == "th"
    ]
    assert "td" in [tag for tag, _, _ in found]
    assert "yb-cut" not in [mark for _, mark, _ in found]


def test_a_paragraph_that_changed_or_came_is_marked(site: Path) -> None:
    """The author's words."""
    change = ("1.  Close the valve.", "1.  Close the valve slowly.\n\n    Say so.")
    assert [("p", "yb-changed", "Close the valve slowly."), ("p", "yb-changed", "Say so.")] == marked(
        site, changing=change
    )


def test_where_something_was_taken_out_the_next_block_is_marked(site: Path) -> None:
    """What is no longer there can bear no mark."""
    assert [("h2", "yb-cut", "Steps")] == marked(
        site, changing=('The plug hangs {{ machines["theatre-1"].yokes[0].plug }}.\n\n', "")
    )


def test_a_table_that_lost_a_row_is_marked_at_its_first_head(site: Path) -> None:
    """Its row went; the rows that stayed are not marked."""
    found = marked(site, changing=('"60 bar", "30 bar"', '"60 bar"'))
    assert [
        ("th", "yb-cut", "Reading (bar)"),
        ("td", "yb-changed", "change now"),
        ("td", "yb-changed", "change now"),
    ] == (found)


def test_a_new_table_is_marked_at_its_first_head(site: Path) -> None:
    """One mark is enough for what is new as a whole."""
    call = '{{ leave_with_table(cylinder="oxygen-transfer", uses=["mask"], times=["10 min"]) }}'
    found = marked(site, changing=("## How long\n", f"{call}\n\n## How long\n"))
    assert ["Time planned; readings in kPa\u00a0×\u00a0100"] == [text for tag, _, text in found if tag == "th"]


def test_a_page_on_which_nothing_moved_has_no_mark(site: Path) -> None:
    """Changes of other pages leave it alone."""
    assert [] == marked(site, words=("A yoke", "The yoke"))


def test_each_cell_of_each_computed_table_is_found(site: Path) -> None:
    """A table that stands turned, drawings and numbers in sentences before it, two tables of the same numbers."""
    calls = [
        '{{ gauge_figure(gauge="yoke-oxygen", gas="oxygen", reading="70 bar") }}',
        '{{ machine_card(cylinder="oxygen-e", machine="theatre-1", uses=["bellows", "bag-low-flow"], time="15 min", '
        'readings=["140 bar", "100 bar"], first="the left cylinder", hazards=["Open one cylinder at a time."]) }}',
        '{{ leave_with_table(cylinder="oxygen-transfer", uses=["mask"], times=["10 min"]) }}',
    ]
    body = "\n\n".join([*calls, calls[-1]])
    (site / "content/pages/words.md").write_text(f"---\ntitle: A\nprocedure: REF-09\nowner: approver\n---\n\n{body}\n")
    page = read(site)["words.md"]
    found = cell_blocks(page)
    for number, call in enumerate(page.calls):
        if call["name"] != "gauge_figure":
            for row, shown in enumerate(call["shown"]):
                assert list(shown) == [page.words[found[number, row, column]].text for column in range(len(shown))]
    assert found[2, 0, 0] < found[3, 0, 0]
