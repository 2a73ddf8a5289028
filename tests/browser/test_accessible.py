"""Pages for everyone: axe (WCAG 2.2, A and AA), the keyboard alone, narrow screens, HTML without a fault."""

from __future__ import annotations

import subprocess
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from bench import until
from standing_site import CHANGING, DRAFT, PLUGGING, build_edition, entry, listed, write_list

WIDTHS = (1280, 1024, 800, 320)
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa"]
PAGES = (
    "index.html",
    CHANGING,
    "procedures/leaving-with-a-patient.html",
    "reference/theatre-1.html",
    "reference/theatre-1.workings.html",
    "reference/pin-index.html",
    "cards/theatre-1-oxygen.html",
    "register.html",
    "writing/calls-reserve.html",
)


@pytest.fixture(scope="module")
def edition(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A published edition with a page that is superseded, one that is overdue, and one that is withdrawn."""
    target = tmp_path_factory.mktemp("accessible")
    folder = build_edition(target, 1, date(2026, 1, 5), CYL_02={"review_due": date(2026, 2, 1)})
    withdrawn = {"CYL-03": {"on": "2026-03-02", "reason": "Its table was read in the wrong unit", "instead": "CYL-01"}}
    write_list(target, listed(entry(1, "2026-01-05"), entry(2, "2026-03-02", CYL_01=2, CYL_02=1), withdrawn=withdrawn))
    return folder


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing(
    scheme: str, width: int, built_site: Path, edition: Path, chromium: Browser, axe: Path
) -> None:
    """Names, contrast, order, labels, targets, on every kind of page and in each state, with a search open too."""
    context = chromium.new_context(
        bypass_csp=True,  # the policy keeps axe out as it keeps out all else
        color_scheme=scheme,  # type: ignore[arg-type]
        viewport={"width": width, "height": 800},
    )
    page = context.new_page()
    states = [edition / path for path in (CHANGING, PLUGGING, "procedures/reading-the-gauge.html")]
    found = []
    for path in [*(built_site / DRAFT / name for name in PAGES), *states]:
        page.goto(path.as_uri())
        page.evaluate("document.querySelectorAll('details').forEach(each => { each.open = true; })")
        found += violations(page, axe)
    page.goto((built_site / DRAFT / "reference/theatre-1.html").as_uri())
    page.locator(".yb-finder input").first.fill("95")
    page.locator(".yb-row-found").first.wait_for()
    page.locator(".yb-search input").fill("reading")
    page.locator(".yb-search__list li").first.wait_for()
    found += violations(page, axe)
    assert [] == found
    context.close()


def violations(page: Page, axe: Path) -> list[str]:
    """Return what axe finds on a page as it is now."""
    page.evaluate(axe.read_text(encoding="utf-8"))
    result = page.evaluate("rules => axe.run(document, {runOnly: {type: 'tag', values: rules}})", RULES)
    assert len(result["passes"]) > 15
    return [f"{page.url}: {each['id']} {each['nodes'][0]['html'][:200]}" for each in result["violations"]]


def test_axe_finds_what_is_planted(built_site: Path, chromium: Browser, axe: Path) -> None:
    """Grey on grey and a picture without words are found: the test above is not blind."""
    context = chromium.new_context(bypass_csp=True)
    page = context.new_page()
    page.goto((built_site / DRAFT / "index.html").as_uri())
    page.evaluate(
        "document.querySelector('h1').style.color = '#cccccc';"
        "document.querySelector('main').append(document.createElement('img'))"
    )
    found = " ".join(violations(page, axe))
    assert "color-contrast" in found
    assert "image-alt" in found
    context.close()


FOCUSED = """() => {
    const each = document.activeElement, style = getComputedStyle(each), box = each.getBoundingClientRect();
    const all = [...document.querySelectorAll('*')];
    return {index: all.indexOf(each), outline: style.outlineStyle + ' ' + parseFloat(style.outlineWidth),
            seen: box.width > 0 && box.height > 0 && box.right > 0 && box.bottom > 0 && box.top < innerHeight};
}"""
REACHABLE = """() => { const all = [...document.querySelectorAll('*')];
    return all.filter(each => each.matches('a[href], button, input, select, textarea, summary, [tabindex="0"]') &&
        each.getClientRects().length && !each.disabled).map(each => all.indexOf(each)); }"""


@pytest.mark.parametrize("width", [1280, 320])
@pytest.mark.parametrize("name", ["index.html", CHANGING, "reference/theatre-1.html"])
def test_the_keyboard_alone_reaches_everything(name: str, width: int, built_site: Path, browser: Browser) -> None:
    """Tab goes to each link, control and scrolling table in turn; what has the focus is on the screen and outlined."""
    page = browser.new_context(viewport={"width": width, "height": 800}).new_page()
    page.goto((built_site / DRAFT / name).as_uri())
    wanted = page.evaluate(REACHABLE)
    reached = []
    for _ in wanted:
        page.keyboard.press("Tab")
        until(page, f"({FOCUSED})().seen", seconds=5)  # a browser scrolls there with the next frame
        focused = page.evaluate(FOCUSED)
        style, thick = focused["outline"].split()
        assert focused["seen"], page.evaluate("document.activeElement.outerHTML")
        assert style not in ("none", "auto"), page.evaluate("document.activeElement.outerHTML")
        assert float(thick) >= 2
        reached.append(focused["index"])
    assert wanted == reached
    page.context.close()


def test_the_first_tab_skips_to_the_text(built_site: Path, browser: Browser) -> None:
    """Who uses the keyboard need not go through the head of each page."""
    page = browser.new_context().new_page()
    page.goto((built_site / DRAFT / CHANGING).as_uri())
    page.keyboard.press("Tab")
    assert "Go to the text" == page.evaluate("document.activeElement.textContent")
    page.keyboard.press("Enter")
    assert "MAIN" == page.evaluate("document.activeElement.tagName")
    page.context.close()


SCROLLING = """() => [...document.querySelectorAll('body *')].filter(each =>
    each.scrollWidth > each.clientWidth + 1 && ['auto', 'scroll'].includes(getComputedStyle(each).overflowX))
    .map(each => [each.getAttribute('role'), each.getAttribute('aria-label') || '', each.tabIndex])"""


def narrow_pages(built_site: Path, browser: Browser) -> Iterator[tuple[Path, Page]]:
    page = browser.new_context(viewport={"width": 320, "height": 640}).new_page()
    for path in sorted((built_site / DRAFT).rglob("*.html")):
        page.goto(path.as_uri())
        yield path, page
    page.context.close()


def test_a_narrow_screen_scrolls_one_way_save_within_a_table(built_site: Path, browser: Browser) -> None:
    """At 320 px no page is wider than the screen; what scrolls sideways is a named region, for the keyboard too."""
    regions = 0
    for path, page in narrow_pages(built_site, browser):
        assert 320 >= page.evaluate("document.documentElement.scrollWidth"), path
        for role, label, tab_index in page.evaluate(SCROLLING):
            regions += 1
            assert ("region", 0) == (role, tab_index), path
            assert label, path
    assert regions


def test_html_is_without_a_fault(built_site: Path, edition: Path, vnu_jar: Path) -> None:
    """The Nu HTML checker finds no error on any page."""
    command = ["java", "-jar", str(vnu_jar), "--errors-only", "--skip-non-html", str(built_site), str(edition)]
    result = subprocess.run(command, capture_output=True, text=True, check=False)
    assert "" == result.stdout + result.stderr
    assert 0 == result.returncode


def test_the_html_checker_finds_what_is_planted(tmp_path: Path, vnu_jar: Path) -> None:
    """A doubled id is found: the test above is not blind."""
    page = (
        '<!doctype html><html lang="en"><head><title>x</title></head><body><p id="a"></p><p id="a"></p></body></html>'
    )
    (tmp_path / "bad.html").write_text(page, encoding="utf-8")
    command = ["java", "-jar", str(vnu_jar), "--errors-only", "--skip-non-html", str(tmp_path)]
    result = subprocess.run(command, capture_output=True, text=True, check=False)
    assert "Duplicate ID" in result.stdout + result.stderr
