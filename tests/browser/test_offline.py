"""From a folder, with the network off: what a page's scripts do when they are used stays on the machine."""

from __future__ import annotations

from collections.abc import Callable

from playwright.sync_api import Browser

from bench import Visit, until


def test_searching_and_finding_a_row_ask_for_nothing_either(browser: Browser, open_page: Callable[..., Visit]) -> None:
    """What the scripts do when they are used stays on the machine too."""
    visit = open_page("reference/theatre-1.html")
    visit.page.get_by_label("your dial reads").first.fill("95")
    visit.page.keyboard.press("Enter")
    visit.page.get_by_role("searchbox").fill("oxygen")
    visit.page.locator("#yokebook-search li").first.wait_for()
    visit.page.keyboard.press("ArrowDown")
    assert ([], []) == (visit.left, visit.troubles)
    with visit.page.expect_navigation():
        visit.page.keyboard.press("Enter")
    assert ([], []) == (visit.left, visit.troubles)


def test_the_index_is_loaded_only_when_someone_searches(browser: Browser, open_page: Callable[..., Visit]) -> None:
    """It counts for nothing in what a page loads."""
    page = open_page("index.html").page
    assert page.evaluate("window.yokebookSearchIndex === undefined")
    page.get_by_role("searchbox").focus()
    until(page, "window.yokebookSearchIndex !== undefined")
