"""Navigation: the way to a page and its neighbours, never all pages on each page."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from demo_site import ROOT, copy_demo
from yokebook.reference.whole import work_out
from yokebook.site.build import build

MANY = 120


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A site with 120 pages in one section and three in another, which has a section within."""
    folder = tmp_path_factory.mktemp("many") / "department"
    copy_demo(folder)
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
    return folder / "site"


def listed(page: Path) -> list[str]:
    """Return where the links of a page's navigation lead."""
    html = page.read_text(encoding="utf-8")
    navigation = re.search(r'<nav class="md-nav md-nav--primary".*?</nav>', html, re.DOTALL)
    assert navigation is not None
    return re.findall(r'<a class="md-nav__link[^"]*" href="([^"]+)"', navigation.group())


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
            waiting += [(page.parent / link).resolve() for link in listed(page)]
    assert {path.resolve() for path in site.rglob("*.html")} == seen


def test_pages_do_not_grow_with_their_number(site: Path) -> None:
    """A page of a site with 120 pages more is not 20 kB larger than the same page of the demo."""
    assert build(work_out(ROOT), site.parent / "small") is None
    small, large = ((folder / "index.html").stat().st_size for folder in (site.parent / "small", site))
    assert large - small < 20_000
