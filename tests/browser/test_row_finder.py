"""The row finder: a reading is typed, the row at or below it is marked, in words and by more than colour."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from bench import Visit

THEATRE = "reference/theatre-1.html"
SEVERAL = "procedures/pipeline-fails.html"
TABLE = {"unit": "bar", "low": 0, "high": 250, "highest": 160, "readings": [140, 120, 62.5, 20, None]}
WITHOUT_LAST = TABLE | {"unit": "kPa × 100", "readings": [140, 20]}
NOT_A_NUMBER = "Type only the number that the pointer shows on the dial, which reads in bar: such as 140."
COMMA = "Write the number without a comma, with a point where it needs one, such as 140."
OFF_THE_DIAL = "This dial cannot show {}: it goes from 0 to 250 bar. Look at the dial again."
TOO_FULL = (
    "No cylinder of this table shows {}: a full one comes to 160 bar at most. Look again at the dial, its unit and the "
    "cylinder."
)
BETWEEN = " {} lies above it: the row at or below the reading counts."
JUDGED: dict[str, tuple[int, str]] = {
    "140": (0, ""),
    "160": (0, BETWEEN.format("160")),
    "139.9": (1, BETWEEN.format("139.9")),
    "120": (1, ""),
    "62.5": (2, ""),
    "62.4": (3, BETWEEN.format("62.4")),
    "20": (3, ""),
    "19": (4, ""),
    "0": (4, ""),
    " 120 ": (1, ""),
    "120 bar": (1, ""),
    "120BAR": (1, ""),
    "0120": (1, ""),
    "161": (-1, TOO_FULL.format("161")),
    "250": (-1, TOO_FULL.format("250")),
    "251": (-1, OFF_THE_DIAL.format("251")),
    "13700": (-1, OFF_THE_DIAL.format("13700")),
    "120,5": (-1, COMMA),
    "1,200": (-1, COMMA),
    "120 psi": (-1, NOT_A_NUMBER),
    "-5": (-1, NOT_A_NUMBER),
    "1e2": (-1, NOT_A_NUMBER),
    "0x20": (-1, NOT_A_NUMBER),
    "full": (-1, NOT_A_NUMBER),
    "bar": (-1, NOT_A_NUMBER),
    "Infinity": (-1, NOT_A_NUMBER),
    "1 2": (-1, NOT_A_NUMBER),
    "12.": (-1, NOT_A_NUMBER),
}


def judged(page: Page, table: dict[str, Any], typed: list[str]) -> dict[str, tuple[int, str]]:
    """Return which row the page's script would mark for each typed reading, and what it would say."""
    judge = "([table, all]) => all.map(typed => { const { row, told } = yokebookRows.judge(table, typed); return [typed, [row, told]]; })"  # noqa: E501
    return {one: (row, told) for one, (row, told) in page.evaluate(judge, [table, typed])}


def test_what_is_said_of_a_reading(browser: Browser, open_page: Callable[..., Visit]) -> None:
    """The row at or below it; off the dial, above a full cylinder or no number at all is refused in words."""
    assert JUDGED == judged(open_page(THEATRE).page, TABLE, list(JUDGED))


def test_below_the_lowest_row_nothing_is_promised(browser: Browser, open_page: Callable[..., Visit]) -> None:
    """Where a table has no row for it, the reader is told to change the cylinder."""
    below = "Below the lowest row of this table, 20 kPa × 100: do not rely on it. Change the cylinder now."
    page = open_page(THEATRE).page
    assert {"19": (-1, below), "25 kPa × 100": (1, BETWEEN.format("25"))} == judged(
        page, WITHOUT_LAST, ["19", "25 kPa × 100"]
    )


def test_in_every_table_the_row_found_is_the_highest_at_or_below(
    chromium: Browser, built_site: Path, open_page: Callable[..., Visit]
) -> None:
    """For each half scale mark of each dial of the demo, by what the rows' own heads say."""
    page = open_page(THEATRE).page
    tables = 0
    for path in sorted((built_site / "editions" / "draft").rglob("*.html")):
        for html in re.findall(r"<table[^>]*data-whose.*?</table>", path.read_text(encoding="utf-8"), re.DOTALL):
            data = dict(re.findall(r'data-(\w+)="([^"]*)"', html.partition(">")[0]))
            heads = re.findall(r'<tr data-reading="[^"]*"><th scope="row">([^<]*)</th>', html)
            rows = [None if head.startswith("below") else float(re.sub(r"\s", "", head)) for head in heads]
            about = {key: float(data[key]) for key in ("low", "high", "highest")} | {"unit": data["unit"]}
            typed = [f"{number / 2:g}" for number in range(int(data["highest"]) * 2 + 1)]
            for text, (row, _) in judged(page, about | {"readings": rows}, typed).items():
                below = [index for index, reading in enumerate(rows) if reading is None or reading <= float(text)]
                assert (below[0] if below else -1) == row, (path.name, text)
            tables += 1
    assert 10 < tables


def finder(page: Page, number: int = 0) -> Locator:
    """Return one of a page's finders; the choice of a machine is none."""
    return page.locator(".yb-finder[role=group]").nth(number)


def found_rows(page: Page) -> list[str]:
    """Return what stands at the head of each marked row of a page."""
    heads: list[str] = page.locator("tr[aria-current=true] > th").all_text_contents()
    return heads


def test_a_reading_marks_its_row_and_says_it(browser: Browser, open_page: Callable[..., Visit]) -> None:
    """The marked row is announced with its cells; another number moves the mark, none takes it away."""
    page = open_page(THEATRE).page
    box, told = finder(page).get_by_role("textbox"), finder(page).get_by_role("status")
    expect(finder(page)).to_have_accessible_name("Find the row: the theatre machine, oxygen")
    expect(box).to_have_accessible_name("the theatre machine, oxygen: your dial reads")
    expect(box).to_have_accessible_description("bar")
    row = page.locator("table[data-whose]").first.locator("tr[data-reading='80']")
    cells, heads = row.locator("td").all_text_contents(), page.locator("table[data-whose]").first.locator("thead th")
    box.fill("95")
    box.press("Enter")
    expect(row).to_have_attribute("aria-current", "true")
    assert ["80"] == found_rows(page)
    spoken = "; ".join(f"{cell} ({head})" for cell, head in zip(cells, heads.all_text_contents()[1:], strict=True))
    expect(told).to_have_text(f"Row 80 bar: {spoken}. 95 lies above it: the row at or below the reading counts.")
    box.fill("5")
    expect(told).to_contain_text(
        "Below the lowest row of this table, 20 bar: do not rely on it. Change the cylinder now."
    )
    assert [] == found_rows(page)
    box.fill("251")
    box.press("Enter")
    expect(told).to_have_text(OFF_THE_DIAL.format("251"))
    assert [] == found_rows(page)
    box.fill("")
    expect(told).to_have_text("")


def test_while_a_number_is_typed_nothing_is_said_of_its_first_digits(
    browser: Browser, open_page: Callable[..., Visit]
) -> None:
    """No row is marked for 1 or 12 on the way to 120."""
    page = open_page(THEATRE).page
    page.evaluate(
        """() => {
            window.seen = [];
            const told = document.querySelector(".yb-finder__told");
            new MutationObserver(() => window.seen.push(told.textContent)).observe(told, { childList: true });
        }"""
    )
    finder(page).get_by_role("textbox").press_sequentially("120", delay=50)
    expect(page.locator("tr[aria-current=true]")).to_have_count(1)
    assert ["Row 120 bar:"] == [text[:12] for text in page.evaluate("window.seen") if text]


LOOK = """() => {
    const [marked, plain] = [80, 100].map(reading => document.querySelector(`tr[data-reading="${reading}"] > th`));
    const of = cell => [getComputedStyle(cell).borderBottomWidth, getComputedStyle(cell, "::before").content];
    return [of(marked), of(plain)];
}"""


def test_the_mark_is_seen_without_colour(browser: Browser, open_page: Callable[..., Visit]) -> None:
    """Its frame is heavier and a pointer stands before its reading."""
    page = open_page(THEATRE).page
    finder(page).get_by_role("textbox").fill("80")
    finder(page).get_by_role("textbox").press("Enter")
    marked, plain = page.evaluate(LOOK)
    assert ("4px", "\u25b6") == (marked[0], marked[1].strip('"')[0])
    assert "none" == plain[1]


def test_neither_finder_nor_mark_is_printed(chromium: Browser, open_page: Callable[..., Visit]) -> None:
    """A sheet is for every reading, not for the one that somebody typed."""
    page = open_page(THEATRE).page
    finder(page).get_by_role("textbox").fill("80")
    finder(page).get_by_role("textbox").press("Enter")
    page.emulate_media(media="print")
    marked, plain = page.evaluate(LOOK)
    assert plain == marked
    expect(finder(page)).to_be_hidden()


def test_each_dial_is_read_in_its_own_unit(chromium: Browser, open_page: Callable[..., Visit]) -> None:
    """A number of another dial is refused where it can be told, and promises less where it cannot."""
    page = open_page("reference/transfer-cylinder.html").page
    finder(page).get_by_role("textbox").fill("20000")
    finder(page).get_by_role("textbox").press("Enter")
    expect(finder(page).get_by_role("status")).to_have_text(
        "This dial cannot show 20000: it goes from 0 to 315 kPa × 100. Look at the dial again."
    )


def test_where_a_page_serves_several_machines_one_is_chosen_first(
    browser: Browser, open_page: Callable[..., Visit]
) -> None:
    """The choice leads to the first table of that machine, ready to take its reading; by keyboard too."""
    page = open_page(SEVERAL).page
    choice = page.get_by_label("Which machine?")
    assert ["the theatre machine, oxygen", "the induction-room machine, oxygen"] == choice.locator(
        "option"
    ).all_text_contents()
    choice.select_option("the induction-room machine, oxygen")
    expect(page.locator("input:focus")).to_have_count(0)
    choice.press("Tab")
    page.keyboard.press("Enter")
    focused = page.locator("input:focus")
    expect(focused).to_have_accessible_name("the induction-room machine, oxygen: your dial reads")
    page.keyboard.type("80")
    expect(page.locator("tr[aria-current=true]")).to_have_count(1)
    assert page.evaluate(
        "document.querySelector('tr[aria-current]').closest('table').dataset.whose === 'the induction-room machine'"
    )


def test_where_a_page_serves_one_machine_there_is_no_choice(browser: Browser, open_page: Callable[..., Visit]) -> None:
    """Nothing is asked that is known."""
    page = open_page(THEATRE).page
    assert 0 == page.locator("select").count()
    assert page.locator("table[data-whose]").count() == page.locator(".yb-finder").count()


def test_without_script_the_table_stands_as_it_is(browser: Browser, open_page: Callable[..., Visit]) -> None:
    """All rows, no dead control."""
    page = open_page(THEATRE, java_script_enabled=False).page
    assert 0 == page.locator("input, select, button, .yb-finder").count()
    assert 5 < page.locator("table[data-whose]").first.locator("tbody tr").count()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [1280, 320])
def test_a_marked_row_is_accessible(
    scheme: str, width: int, chromium: Browser, axe: Path, open_page: Callable[..., Visit]
) -> None:
    """axe finds nothing (WCAG 2.2 A and AA) in a page with a choice, finders and a marked row."""
    size = {"width": width, "height": 800}
    page = open_page(SEVERAL, bypass_csp=True, color_scheme=scheme, viewport=size).page
    finder(page).get_by_role("textbox").fill("80")
    finder(page).get_by_role("textbox").press("Enter")
    expect(page.locator("tr[aria-current=true]")).to_have_count(1)
    page.add_script_tag(path=axe)
    rules = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa"]}}
    found = page.evaluate("rules => axe.run(document, rules)", rules)
    assert [] == [(one["id"], [node["html"] for node in one["nodes"]]) for one in found["violations"]]
    assert width == page.evaluate("document.documentElement.scrollWidth")
