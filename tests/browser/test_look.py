"""How a page looks: its head, hazards before steps, light and dark, and what remains without style or script."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from demo_site import ROOT
from shared import made_once
from standing_site import CHANGING, DRAFT, build_edition, entry, listed, write_list

ASSETS = ROOT / "site_templates" / "theme" / "assets"
PROCEDURES = sorted(path.stem for path in (ROOT / "content/pages/procedures").glob("*.md"))


@pytest.fixture(scope="module")
def edition() -> Path:
    """The demo as a published edition."""

    def make(target: Path) -> None:
        why = {"reason": "The plug hangs on a chain", "incident": "low-on-the-way"}
        build_edition(target, 1, date(2026, 1, 5), CYL_01={"issue": 2, **why})
        write_list(target, listed(entry(1, "2026-01-05", CYL_01=2)))

    return made_once("look", make) / "editions/0001"


def opened(browser: Browser, path: Path, **how: Any) -> Page:
    page = browser.new_context(**how).new_page()
    page.goto(path.as_uri())
    return page


def closed(page: Page) -> None:
    page.context.close()


def test_a_procedure_opens_with_all_that_tells_one_copy_from_another(edition: Path, browser: Browser) -> None:
    """Title, number, issue, state, since when, until when, whose, for which machines: in words, above the text."""
    page = opened(browser, edition / CHANGING)
    cells = page.locator(".yb-title-block > div").all()
    facts = {cell.locator("dt").inner_text(): cell.locator("dd").inner_text() for cell in cells}
    assert {
        "Number": "CYL-01",
        "Issue": "2",
        "State": "in force",
        "In force from": "2026-01-05",
        "Review due": "2027-01-05",
        "Owner": "equipment lead",
        "Machines": "theatre, induction-room, scanner",
    } == facts
    order = page.evaluate("[...document.querySelectorAll('h1, .yb-title-block, h2')].map(each => each.tagName)")
    assert ["H1", "DL", "H2"] == order[:3]
    closed(page)


@pytest.mark.parametrize(("width", "lines"), [(1280, 2), (1024, 2), (320, 5)])
def test_the_head_takes_a_few_lines_not_a_screen(edition: Path, browser: Browser, width: int, lines: int) -> None:
    """What is to be done comes right below it, on each screen."""
    page = opened(browser, edition / CHANGING, viewport={"width": width, "height": 640})
    head = page.locator(".yb-title-block")
    box = head.bounding_box()
    assert box is not None
    line = head.evaluate("head => parseFloat(getComputedStyle(head).lineHeight)")
    assert box["height"] <= lines * line + 14
    closed(page)


def test_who_approved_it_and_why_stand_at_the_foot_of_the_page(edition: Path, browser: Browser) -> None:
    """Below all that staff act on; the link bears the title of the review, so that paper says which one."""
    page = opened(browser, edition / CHANGING)
    assert [
        "Approved by",
        "approver: A. Marlow, 2025-12-20",
        "Why this issue",
        "The plug hangs on a chain. After the review: Oxygen low on the way to the scanner",
    ] == page.locator(".yb-about dt, .yb-about dd").all_inner_texts()
    link = page.locator(".yb-about a")
    assert "Oxygen low on the way to the scanner" == link.inner_text()
    assert "../incidents/low-on-the-way.html" == link.get_attribute("href")
    assert "About this issue" == page.locator(".yb-text h2").last.inner_text()
    closed(page)


def test_the_pages_say_once_what_they_do_not_replace(edition: Path, browser: Browser) -> None:
    """In the department's own words where it has written them, as on its first page; else at the foot."""
    for path in ("index.html", "reference/conversions.html"):
        page = opened(browser, edition / path)
        told = [words for words in page.locator("p").all_inner_texts() if words.startswith("These pages do not repl")]
        assert 1 == len(told), path
        closed(page)


def test_an_edge_beyond_which_a_table_goes_on_lies_in_shadow(built_site: Path, chromium: Browser) -> None:
    """On the right until it is scrolled to its end, then on the left."""
    page = opened(chromium, built_site / DRAFT / "register.html", viewport={"width": 320, "height": 640})
    table = page.locator(".yb-table").first
    assert table.evaluate("table => table.scrollWidth > table.clientWidth")
    seen = []
    for scrolled in (0, 10000):
        table.evaluate("(table, left) => { table.scrollLeft = left; table.scrollIntoView(); }", scrolled)
        box = table.bounding_box()
        assert box is not None
        y = box["y"] + 2
        edges = (box["x"], box["x"] + box["width"] - 3)
        seen.append([brightness(page.screenshot(clip={"x": x, "y": y, "width": 3, "height": 4})) for x in edges])
    (left, right), (left_at_end, right_at_end) = seen
    assert right < right_at_end - 20
    assert left_at_end < left - 20
    closed(page)


def test_no_line_ends_within_a_day_or_a_machine_s_name(built_site: Path, browser: Browser) -> None:
    """Each stands on one line, however narrow the screen."""
    page = opened(browser, built_site / DRAFT / CHANGING, viewport={"width": 320, "height": 640})
    wholes = page.locator("main .yb-whole, .yb-title-block dd:not([id]):not(:has(span))")
    assert 10 < wholes.count()
    broken = "all => all.filter(each => each.getClientRects().length > 1).map(each => each.textContent)"
    assert [] == wholes.evaluate_all(broken)
    closed(page)


def test_a_draft_is_marked_wherever_one_reads(built_site: Path, edition: Path, browser: Browser) -> None:
    """The word is seen at the top, and still after a long way down; a published page does not bear it."""
    page = opened(browser, built_site / DRAFT / CHANGING, viewport={"width": 1024, "height": 768})
    mark = page.locator(".yb-mark--draft")
    assert "DRAFT Not approved. Not for use." == mark.inner_text()
    for way_down in (0, 3000):
        page.evaluate(f"window.scrollTo(0, {way_down})")
        box = mark.bounding_box()
        assert box is not None
        assert 0 <= box["y"] < 400
    closed(page)
    page = opened(browser, edition / CHANGING)
    assert "DRAFT" not in page.locator("body").inner_text()
    closed(page)


@pytest.mark.parametrize("name", PROCEDURES)
def test_hazards_stand_before_steps(name: str, built_site: Path, chromium: Browser) -> None:
    """No step of a procedure comes before its first hazard; each hazard says in a word how bad it is."""
    page = opened(chromium, built_site / DRAFT / "procedures" / f"{name}.html")
    hazards = page.locator(".admonition")
    if page.locator(".yb-text > ol").count() and hazards.count():
        step, hazard = page.locator(".yb-text > ol").first.bounding_box(), hazards.first.bounding_box()
        assert step is not None
        assert hazard is not None
        assert hazard["y"] < step["y"]
    for title in page.locator(".admonition-title").all_inner_texts():
        assert re.match(r"(DANGER|WARNING|CAUTION|NOTICE)\b", title), title
    closed(page)


def test_steps_are_larger_than_the_text_round_them(built_site: Path, browser: Browser) -> None:
    """A step is read at arm's length, and its number is found again."""
    page = opened(browser, built_site / DRAFT / CHANGING)
    size = "([where, part]) => parseFloat(getComputedStyle(document.querySelector(where), part).fontSize)"
    text, step, number = (
        page.evaluate(size, which)
        for which in (
            [".yb-text > p", None],
            [".yb-text > ol > li > p", None],
            [".yb-text > ol > li", "::marker"],
        )
    )
    assert text < step < number
    closed(page)


def test_home_shows_what_is_looked_for_at_night_without_scrolling(built_site: Path, browser: Browser) -> None:
    """The whole first list, by what one sees, on an old screen; a list, not a field of tiles."""
    page = opened(browser, built_site / DRAFT / "index.html", viewport={"width": 1024, "height": 768})
    first = page.locator(".yb-text ul").first
    box = first.bounding_box()
    assert box is not None
    assert box["y"] + box["height"] <= 768
    lefts = {item.bounding_box()["x"] for item in first.locator("li").all()}  # type: ignore[index]  # each is seen
    assert 1 == len(lefts)
    closed(page)


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_light_and_dark_follow_the_reader_s_own_setting(script: bool, built_site: Path, chromium: Browser) -> None:
    """Dark on light, or light on dark, with or without script."""
    for scheme, is_dark in (("light", False), ("dark", True)):
        page = chromium.new_context(color_scheme=scheme, java_script_enabled=script).new_page()  # type: ignore[arg-type]
        page.goto((built_site / DRAFT / "index.html").as_uri())
        shot = page.screenshot(clip={"x": 2, "y": 300, "width": 4, "height": 4})
        assert is_dark == (brightness(shot) < 128)
        closed(page)


def brightness(png: bytes) -> float:
    """Return the mean brightness of a picture, 0 to 255."""
    from io import BytesIO

    from PIL import Image

    histogram = Image.open(BytesIO(png)).convert("L").histogram()
    return sum(value * count for value, count in enumerate(histogram)) / sum(histogram)


def test_red_is_kept_for_what_is_withdrawn() -> None:
    """No rule uses the red but those of what is withdrawn, and no other colour is red."""
    css = "".join(path.read_text(encoding="utf-8") for path in ASSETS.glob("*.css"))
    for selector, body in re.findall(r"([^{}]+)\{([^{}]*)\}", css):
        if "var(--red" in body:
            assert "withdrawn" in selector, selector
    for value in set(re.findall(r"#[0-9a-fA-F]{6}\b", css)):
        red, green, blue = (int(value[at : at + 2], 16) for at in (1, 3, 5))
        is_red = red > 1.5 * max(green, blue) and red - max(green, blue) > 40
        uses = set(re.findall(rf"(--[a-z-]+): {value}", css))
        assert not is_red or uses <= {"--red-ink", "--red-paper"}, value


def test_a_page_is_read_without_style_and_script(built_site: Path, browser: Browser) -> None:
    """All its words are there and in order: title, facts, text, then the way to other pages."""
    context = browser.new_context(java_script_enabled=False)
    context.route(
        "**/*", lambda route: route.abort() if route.request.url.endswith((".css", ".js")) else route.continue_()
    )
    page = context.new_page()
    page.goto((built_site / DRAFT / CHANGING).as_uri())
    seen = page.locator("body").inner_text()
    places = [
        seen.rindex(words) if words == "All pages\n" else seen.index(words)
        for words in ("Changing a cylinder on the yoke\n", "CYL-01", "Purpose", "Steps", "All pages\n")
    ]
    assert sorted(places) == places
    hidden = "parts => parts.filter(part => part.textContent.trim() && !part.getClientRects().length).length"
    assert 0 == page.locator("main p, main li, main td").evaluate_all(hidden)
    closed(page)
