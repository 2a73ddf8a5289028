"""What changed, the briefing and the cards to take down, in a browser: on one sheet where that is promised."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from yokebook.control.as_read import PageAsRead
from yokebook.control.comparison import PageChanges
from yokebook.control.moved_numbers import NumberChange
from yokebook.control.moved_words import Kind, Said, TextPiece, WordChange
from yokebook.reference import changes_page
from yokebook.reference.changes import Changed, EditionChanges, IncidentTold, Previous, Reason
from yokebook.site.tables import in_regions
from yokebook.templates import folder

STYLES = ("yokebook.css", "yokebook-changes.css", "yokebook-print.css")
LONG = "Whoever stands at the machine reads the gauge of the cylinder that is open, and says the reading aloud. " * 3


def page_around(html: str) -> str:
    """Return a page as the site would print it: our styles, a heading, the text, each page's foot."""
    assets = folder() / "theme" / "assets"
    styles = "".join((assets / name).read_text(encoding="utf-8") for name in STYLES if (assets / name).is_file())
    head = f"<head><title>Briefing</title><style>{styles}</style></head>"
    text = f'<main class="yb-main"><article class="yb-text"><h1>Briefing</h1>{in_regions(html)}</article></main>'
    below = (
        f'<footer class="yb-foot"><p>{"Edition 2 of a department with a long name. " * 5}</p><p>Cautions.</p></footer>'
    )
    foot = "<p>Edition 2, in force from 2026-03-02.</p><p>Printed copies are uncontrolled.</p>"
    sheet = f'<div class="yb-sheet"><div class="yb-sheet__words">{foot}</div></div>'
    return f'<!doctype html><html lang="en">{head}<body class="yb-plain">{text}{below}{sheet}</body></html>'


def many_changes(pages: int, reasons: int = 10) -> EditionChanges:
    """As much as an edition may change: long words, many numbers, several reviews and reasons on many pages."""
    incident = IncidentTold(
        "low", "Oxygen low on the way to the scanner suite", "incidents/low.html", LONG * 3, (LONG, LONG)
    )
    changed = [_changed(number, number % reasons, replace(incident, name=f"low-{number}")) for number in range(pages)]
    return EditionChanges(Previous(1, date(2026, 1, 5), {}, {}), tuple(changed), {})


def _changed(number: int, reason: int, incident: IncidentTold) -> Changed:
    pieces = (TextPiece(Kind.GONE, LONG), TextPiece(Kind.NEW, LONG[:90]))
    words = tuple(
        WordChange("paragraph", "Steps: a machine with two yokes", LONG, LONG, pieces[side:], Said.AUTHOR, 1)
        for side in (0, 1, 1)
    )
    caption = (
        "At least how long the 2 cylinders of oxygen last one after the other, by the gauge of the one in use, with "
        "the other showing 100 bar or more, read on its own: for cylinders stamped 4.68 L (size E), on "
        "theatre-1, for dials "
        f"that end at 250 bar, {number}"
    )
    numbers = tuple(
        NumberChange(
            caption, "Reading of the cylinder in use (bar)", str(row),
            "By hand at low flow, 1 L/min set: up to 1.1 L/min", "11 h 15 min", "10 h 45 min", "min", (),
            has_call_changed=False, call=0, at=(row, 0), old_value="675",
            new_value="645",
        )
        for row in range(20)
    )  # fmt: skip
    procedure = f"CYL-{number:02}"
    changes = PageChanges(f"p{number}.md", procedure, "Changing a cylinder on the yoke of a machine", words, numbers)
    reasons = (Reason(2, f"{LONG[:100]} {reason}", incident),)
    return Changed(changes, f"p{number}.html", 1, 2, reasons, withdrawal=None)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize(("pages", "reasons"), [(1, 1), (4, 2), (30, 10), (30, 1)])
def test_the_briefing_is_one_sheet_however_much_changed(
    chromium: Browser, pages: int, reasons: int, paper: str, tmp_path: Path
) -> None:
    """The most important fits with room for names; the rest is on the page of changes."""
    _, briefing = changes_page.pages(many_changes(pages, reasons))
    tab = chromium.new_page()
    tab.set_content(page_around(briefing.html))
    sheet = tmp_path / "briefing.pdf"
    tab.pdf(path=str(sheet), format=paper, margin=dict.fromkeys(("top", "right", "bottom", "left"), "14mm"))
    tab.close()
    assert 1 == sheets(sheet.read_bytes())


def sheets(pdf: bytes) -> int:
    """Return how many sheets a PDF of Chromium's has: it writes each page's object uncompressed."""
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf))


@pytest.mark.parametrize("pages", [1])
def test_names_and_dates_have_room_to_write(chromium: Browser, pages: int) -> None:
    """A line on paper is at least 5 mm high, and half of the sheet's width for a name and a date."""
    _, briefing = changes_page.pages(many_changes(pages))
    tab = chromium.new_page(viewport={"width": 700, "height": 1000})
    tab.emulate_media(media="print")
    tab.set_content(page_around(briefing.html))
    box = tab.locator(".yb-names tbody td").first.bounding_box()
    tab.close()
    assert box is not None
    assert box["height"] >= 5 / 25.4 * 96
    assert box["width"] >= 100


def test_a_change_mark_prints(chromium: Browser) -> None:
    """A border prints where a ground would not, and it is there without colour."""
    table = '<table><tr><td class="yb-changed">5</td></tr></table>'
    html = f'<p class="yb-changed">New.</p><p class="yb-cut">After.</p>{table}'
    tab = chromium.new_page()
    tab.emulate_media(media="print")
    tab.set_content(page_around(html))
    style = (
        "element => [getComputedStyle(element).borderLeftStyle, parseFloat(getComputedStyle(element).borderLeftWidth)]"
    )
    told = [tab.locator(name).evaluate(style) for name in ("p.yb-changed", "p.yb-cut", "td.yb-changed")]
    tab.close()
    assert ["double", "dashed", "double"] == [line for line, _ in told]
    assert all(width >= 3 for _, width in told)


def test_pages_that_know_nothing_of_each_other_compare_empty() -> None:
    """No change gives no sheet of changes by accident."""
    same = PageAsRead("a.md", "CYL-01", "A")
    nothing = EditionChanges(Previous(1, date(2026, 1, 5), {"a.md": same}, {}), (), {"a.md": same})
    assert "No procedure changed." in changes_page.pages(nothing)[1].html
