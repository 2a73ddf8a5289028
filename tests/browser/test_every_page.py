"""Each page once, in one tab: nothing leaves the machine, nothing complains, narrow screens, weight, all of it printed.

Chromium opens every page. Firefox opens one of each kind: it judges the same files by the same policy and styles.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from bench import Visit, close_visit, open_visit
from printed import missing_words, print_page
from standing_site import CHANGING, DRAFT

pytestmark = pytest.mark.xdist_group("every page")

OF_EACH_KIND = (
    "index.html",
    CHANGING,
    "procedures/changing-a-cylinder.workings.html",
    "procedures/leaving-with-a-patient.html",
    "reference/theatre-1.html",
    "reference/pin-index.html",
    "cards/theatre-1-oxygen.html",
    "incidents/index.html",
    "register.html",
    "writing/calls-reserve.html",
)
NARROW = {"width": 320, "height": 640}
MOST_OF_A_PAGE = 450_000
MOST_HTML = 60_000
MOST_FILES = 16
MOST_NODES = 4000
_SCROLLING = """() => [...document.querySelectorAll('body *')].filter(each =>
    each.scrollWidth > each.clientWidth + 1 && ['auto', 'scroll'].includes(getComputedStyle(each).overflowX))
    .map(each => [each.getAttribute('role'), each.getAttribute('aria-label') || '', each.tabIndex])"""
_OPEN_ALL = "document.querySelectorAll('details').forEach(each => { each.open = true; })"


@dataclass(frozen=True)
class Seen:
    """What was seen of one page."""

    left: list[str]
    troubles: list[str]
    widths: tuple[int, int]
    regions: list[tuple[str | None, str, int]]
    files: set[Path]
    nodes: int
    beyond_the_paper: list[str]
    not_printed: dict[str, int]


@pytest.fixture(scope="module")
def seen(browser: Browser, built_site: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Seen]:
    """Each page that does not lead on at once, by its path; with folded parts shut, then open; then printed on A4."""
    is_chromium = browser.browser_type.name == "chromium"
    pages = [page for page in sorted(built_site.rglob("*.html")) if "refresh" not in page.read_text(encoding="utf-8")]
    assert 40 < len(pages)
    if not is_chromium:
        pages = [built_site / DRAFT / name for name in OF_EACH_KIND]
    visit = open_visit(browser, pages[0].as_uri(), viewport=NARROW)
    pdf = tmp_path_factory.mktemp("printed") / "page.pdf"
    told = {page.relative_to(built_site).as_posix(): _look_at(visit, page, pdf, prints=is_chromium) for page in pages}
    close_visit(visit)
    return told


def _look_at(visit: Visit, path: Path, pdf: Path, *, prints: bool) -> Seen:
    page = visit.page
    visit.asked.clear()
    visit.complaints.clear()
    page.goto(path.as_uri(), wait_until="load")
    files = {Path(url.removeprefix("file://").partition("#")[0]) for url in visit.asked if url.startswith("file:")}
    shut = page.evaluate("document.documentElement.scrollWidth")
    regions = [tuple(each) for each in page.evaluate(_SCROLLING)]
    nodes = page.evaluate("document.querySelectorAll('*').length")
    page.evaluate(_OPEN_ALL)
    widths = (shut, page.evaluate("document.documentElement.scrollWidth"))
    beyond, missing = _printed(page, pdf) if prints and path.parent.name != "cards" else ([], {})
    return Seen(visit.left, visit.troubles, widths, regions, files, nodes, beyond, missing)


def _printed(page: Page, pdf: Path) -> tuple[list[str], dict[str, int]]:
    sheets = print_page(page, pdf, "A4")
    beyond = [word for sheet in sheets for word in sheet.off_the_paper]
    missing = missing_words(page, sheets)
    page.emulate_media(media="null")
    return beyond, missing


def wrong(seen: dict[str, Seen], **right: Any) -> dict[str, Any]:
    """Return what differs from what is right, by page."""
    found = {path: {name: getattr(each, name) for name in right} for path, each in seen.items()}
    return {path: each for path, each in found.items() if each != right}


def test_no_page_asks_for_anything_or_complains(seen: dict[str, Seen]) -> None:
    """Over file:// with the network off: no request leaves, no error, nothing missing, nothing refused."""
    assert {} == wrong(seen, left=[], troubles=[])


def test_a_narrow_screen_scrolls_one_way_save_within_a_table(seen: dict[str, Seen]) -> None:
    """At 320 px no page is wider than the screen; what scrolls sideways is a named region, for the keyboard too."""
    assert {} == {path: each.widths for path, each in seen.items() if max(each.widths) > NARROW["width"]}
    regions = {path: each.regions for path, each in seen.items() if each.regions}
    assert regions
    for path, scrolling in regions.items():
        assert {("region", True, 0)} == {(role, bool(label), tab_index) for role, label, tab_index in scrolling}, path


# Driven so, Firefox tells of no file that it reads, and prints elsewhere.
in_chromium = pytest.mark.parametrize("browser", ["chromium"], indirect=True)


@in_chromium
def test_a_page_and_all_that_it_loads_are_light(seen: dict[str, Seen], built_site: Path) -> None:
    """At most 450 kB with styles, scripts and the list of editions, in few files; no index before anyone searches."""
    for path, each in seen.items():
        assert built_site / path in each.files
        assert not [file for file in each.files if "search_index" in file.name], path
        assert len(each.files) <= MOST_FILES, path
        assert sum(file.stat().st_size for file in each.files) <= MOST_OF_A_PAGE, path


def test_a_page_has_few_elements(seen: dict[str, Seen]) -> None:
    """A browser lays out each of them before anything is seen, and an old computer is slow at it."""
    assert {} == {path: each.nodes for path, each in seen.items() if each.nodes > MOST_NODES}


def test_the_html_of_a_page_is_light(built_site: Path) -> None:
    """At most 60 kB, workings and the author's reference included."""
    sizes = {path.relative_to(built_site).as_posix(): path.stat().st_size for path in built_site.rglob("*.html")}
    assert {} == {path: size for path, size in sizes.items() if size > MOST_HTML}


@in_chromium
def test_all_that_each_page_says_is_on_its_sheets(seen: dict[str, Seen]) -> None:
    """Each word of each page of the demo, cells of tables included, is printed on A4 and lies on the paper."""
    assert {} == wrong(seen, beyond_the_paper=[], not_printed={})
