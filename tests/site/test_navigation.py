"""Navigation: the way to a page and its neighbours, never all pages on each page."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from demo_site import ROOT, copy_demo
from shared import made_once
from standing_site import DRAFT
from yokebook.reference.whole import work_out
from yokebook.site.build import build

MANY = 120


@pytest.fixture(scope="module")
def site() -> Path:
    """A site with 120 pages in one section and three in another, which has a section within."""
    return made_once("many", _make_site) / "department/site" / DRAFT


def _make_site(shared: Path) -> None:
    folder = copy_demo(shared / "department")
    pages = folder / "content/pages"
    for number in range(MANY):
        path = pages / "many" / f"page-{number:03}.md"
        path.parent.mkdir(exist_ok=True)
        path.write_text(f"---\ntitle: Page {number}\n---\n\n# Page {number}\n", encoding="utf-8")
    for name in ("few/one.md", "few/deep/two.md"):
        path = pages / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(f"---\ntitle: {path.stem.title()}\n---\n\n# {path.stem.title()}\n", encoding="utf-8")
    assert build(work_out(folder), folder / "site") is None


def listed(page: Path) -> list[str]:
    """Return where the links of a page's navigation lead."""
    html = page.read_text(encoding="utf-8")
    navigation = re.search(r'<nav class="yb-pages".*?</nav>', html, re.DOTALL)
    assert navigation is not None
    return re.findall(r'<a class="yb-pages__link" href="([^"]+)"', navigation.group())


def to_workings(page: Path) -> set[str]:
    """Return the page of workings that a page leads to, which is no one's neighbour."""
    return set(re.findall(r'<p class="yb-to-working"><a href="([^"#]+)#', page.read_text(encoding="utf-8")))


@pytest.mark.parametrize("number", [0, 60, 119])
def test_a_page_among_many_lists_at_most_fifty_neighbours(number: int, site: Path) -> None:
    """Itself and those round it, whole at either end of the list."""
    links = [link for link in listed(site / "many" / f"page-{number:03}.html") if "page-" in link]
    assert 50 == len(links)
    assert f"page-{number:03}.html" in links


def test_a_section_that_the_page_is_not_in_is_one_link(site: Path) -> None:
    """A reader gets to each section from anywhere, by its first page."""
    links = listed(site / "index.html")
    assert ["many/page-000.html"] == [link for link in links if link.startswith("many/")]
    assert ["few/one.html"] == [link for link in links if link.startswith("few/")]


def test_the_way_down_to_a_page_is_open(site: Path) -> None:
    """Each section above the page shows its own entries."""
    links = listed(site / "few" / "deep" / "two.html")
    assert {"../one.html", "two.html", "../../many/page-000.html", "../../index.html"} <= set(links)


def test_every_page_can_be_reached_by_following_the_navigation(site: Path) -> None:
    """From the start page, over neighbours and sections, no page is out of reach."""
    seen: set[Path] = set()
    waiting = [site / "index.html"]
    while waiting:
        page = waiting.pop()
        if page not in seen:
            seen.add(page)
            waiting += [(page.parent / link).resolve() for link in [*listed(page), *to_workings(page)]]
    assert {path.resolve() for path in site.rglob("*.html")} == seen


def test_pages_do_not_grow_with_their_number(site: Path) -> None:
    """A page of a site with 120 pages more is not 20 kB larger than the same page of the demo."""
    small = site.parents[2] / "small"
    assert build(work_out(ROOT), small) is None
    small_size, large_size = ((folder / "index.html").stat().st_size for folder in (small / DRAFT, site))
    assert large_size - small_size < 20_000


def test_the_sections_stand_in_the_order_in_which_the_home_page_leads_to_them(site: Path) -> None:
    """What staff look for first stands first beside each page; what the home page does not name comes after."""
    folders = [link.partition("/")[0] for link in listed(site / "index.html") if "/" in link]
    assert ["procedures", "reference"] == folders[:2]
    assert {"few", "many", "incidents"} <= set(folders[2:])
