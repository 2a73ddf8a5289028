"""Pages for everyone: axe (WCAG 2.2, A and AA), the keyboard alone, narrow screens, HTML without a fault."""

from __future__ import annotations

import subprocess
from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from bench import until
from shared import made_once
from standing_site import CHANGING, DRAFT, PLUGGING, build_edition, entry, listed, write_list

RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa"]
COLOURS = ["color-contrast", "link-in-text-block"]
"""The rules that judge colours: dark is the same page in other ones."""
ROOM = ["target-size", "scrollable-region-focusable"]
"""The rules that depend on how wide the screen is, beside what a screen shows at all."""
SCREENS: dict[tuple[str, int], list[str] | None] = {
    ("light", 1280): None,
    ("light", 1024): ROOM,
    ("light", 800): ROOM,
    ("light", 320): None,
    ("dark", 320): COLOURS,
    ("dark", 1280): COLOURS,
}
"""Colours and widths in turn, a width between each two at which our styles change; with rules, or None for all."""
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


STATES = {"superseded": CHANGING, "overdue": PLUGGING, "withdrawn": "procedures/reading-the-gauge.html"}
SEARCHING = "with a search and a row found"


@pytest.fixture(scope="module")
def edition() -> Path:
    """A published edition with a page that is superseded, one that is overdue, and one that is withdrawn."""
    return made_once("accessible", _make_edition) / "editions/0001"


def _make_edition(target: Path) -> None:
    build_edition(target, 1, date(2026, 1, 5), CYL_02={"review_due": date(2026, 2, 1)})
    withdrawn = {"CYL-03": {"on": "2026-03-02", "reason": "Its table was read in the wrong unit", "instead": "CYL-01"}}
    write_list(target, listed(entry(1, "2026-01-05"), entry(2, "2026-03-02", CYL_01=2, CYL_02=1), withdrawn=withdrawn))


@pytest.mark.parametrize("what", [*PAGES, *STATES, SEARCHING])
def test_axe_finds_nothing(what: str, built_site: Path, edition: Path, chromium: Browser, axe: Path) -> None:
    """Names, contrast, order, labels, targets, on every kind of page and in each state, with a search open too."""
    context = chromium.new_context(bypass_csp=True)  # the policy keeps axe out as it keeps out all else
    page = context.new_page()
    path = edition / STATES[what] if what in STATES else built_site / DRAFT / (what if what in PAGES else PAGES[3])
    page.goto(path.as_uri())
    if what == SEARCHING:
        page.locator(".yb-finder input").first.fill("95")
        page.locator(".yb-row-found").first.wait_for()
        page.locator(".yb-search input").fill("reading")
        page.locator(".yb-search__list li").first.wait_for()
    else:
        page.evaluate("document.querySelectorAll('details').forEach(each => { each.open = true; })")
    page.evaluate(axe.read_text(encoding="utf-8"))
    found = {}
    for (scheme, width), rules in SCREENS.items():
        page.set_viewport_size({"width": width, "height": 800})
        page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
        found[scheme, width] = violations(page, rules)
    assert {} == {screen: told for screen, told in found.items() if told}
    context.close()


def violations(page: Page, rules: list[str] | None = None) -> list[str]:
    """Return what axe, which the page has, finds on it as it is now: by some of its rules, or by all of WCAG's."""
    how = {"type": "rule", "values": rules} if rules else {"type": "tag", "values": RULES}
    result = page.evaluate("how => axe.run(document, {runOnly: how})", how)
    assert len(result["passes"]) > (0 if rules else 15)
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
    page.evaluate(axe.read_text(encoding="utf-8"))
    found = " ".join(violations(page))
    assert "color-contrast" in found
    assert "image-alt" in found
    page.emulate_media(color_scheme="dark")
    page.evaluate("document.querySelector('h1').style.color = '#333333'")
    assert ["color-contrast"] == [told.split()[1] for told in violations(page, COLOURS)]
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


KEYED = [(name, width) for name in ("index.html", CHANGING, "reference/theatre-1.html") for width in (1280, 320)]
IN_FIREFOX = [(CHANGING, 320), ("reference/theatre-1.html", 1280)]


@pytest.mark.parametrize(
    ("browser", "name", "width"),
    [*(("chromium", *each) for each in KEYED), *(("firefox", *each) for each in IN_FIREFOX)],
    indirect=["browser"],
)
def test_the_keyboard_alone_reaches_everything(name: str, width: int, built_site: Path, browser: Browser) -> None:
    """Tab goes to each link, control and scrolling table in turn; what has the focus is on the screen and outlined."""
    page = browser.new_context(viewport={"width": width, "height": 800}).new_page()
    page.goto((built_site / DRAFT / name).as_uri())
    wanted = page.evaluate(REACHABLE)
    reached = []
    for _ in wanted:
        page.keyboard.press("Tab")
        until(page, f"({FOCUSED})().seen")  # a browser scrolls there with the next frame
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
