"""On paper: all that a page says is on the sheets, heads on each of them, nothing cut, nothing folded away."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image
from playwright.sync_api import Browser, Page

from bench import Visit, program
from demo_site import change, copy_demo
from printed import PrintedSheet, missing_words, print_page, tokens
from shared import made_once
from standing_site import CHANGING, DRAFT, build_edition
from yokebook.reference.assembling import assembled
from yokebook.site.build import build

ADDRESS = "https://procedures.example/yokes"
FULLEST = ("reference/theatre-1.html", "reference/theatre-1.workings.html", "writing/calls.html", CHANGING)
WIDE = "procedures/wide-and-long.html"
COLUMNS, ROWS = 10, 90
_FRONT = "---\ntitle: Wide and long\nprocedure: CYL-99\nowner: equipment lead\n---\n\n# Wide and long\n\n"
# A word of a folded part stands nowhere else.
_FOLDED = '??? note "Why so"\n\n    A reason that somebody folded away: quillwort.\n'


def _long_table() -> str:
    head = "| " + " | ".join(f"Head{column}" for column in range(COLUMNS)) + " |\n"
    line = "| " + " | ".join("---" for _ in range(COLUMNS)) + " |\n"
    rows = (
        "| " + " | ".join(f"r{row}c{column} change now" for column in range(COLUMNS)) + " |\n" for row in range(ROWS)
    )
    return head + line + "".join(rows)


@pytest.fixture(scope="module")
def wide_site() -> Path:
    """The demo with its web address, and with one page that has a long table of ten columns and a folded part."""
    return made_once("wide", _make_wide) / "department/site" / DRAFT


def _make_wide(shared: Path) -> None:
    folder = copy_demo(shared / "department")
    change(folder / "content/data/department.yaml", "language: en\n", f"language: en\nbase_url: {ADDRESS}\n")
    page = folder / "content/pages/procedures/wide-and-long.md"
    page.write_text(f"{_FRONT}{_long_table()}\n{_FOLDED}", encoding="utf-8")
    assert build(assembled(folder), folder / "site") is None


def _sheets(page: Page, tmp_path: Path, size: str = "A4") -> list[PrintedSheet]:
    return print_page(page, tmp_path / "printed.pdf", size)


def test_letter_holds_all_as_well(built_site: Path, chromium: Browser, tmp_path: Path) -> None:
    """The same on Letter, for the pages with the widest and the longest tables."""
    pages = [built_site / DRAFT / name for name in FULLEST]
    assert {} == _lost(chromium, pages, tmp_path, "Letter")


def _lost(chromium: Browser, pages: list[Path], tmp_path: Path, size: str) -> dict[str, object]:
    """Return the words of each page that are not printed, or not wholly on the paper."""
    found = dict[str, object]()
    page = chromium.new_page()
    for path in pages:
        page.goto(path.as_uri())
        sheets = _sheets(page, tmp_path, size)
        beyond = [word for sheet in sheets for word in sheet.off_the_paper]
        missing = missing_words(page, sheets)
        page.emulate_media(media="null")
        if beyond or missing:
            found[path.name] = (beyond, missing)
    page.close()
    return found


@pytest.mark.parametrize("name", FULLEST)
def test_firefox_prints_what_chromium_shows(
    name: str, page_url: Callable[[str], str], chromium: Browser, firefox: Browser, tmp_path: Path
) -> None:
    """The same words, all on the paper."""
    page = firefox.new_page()
    page.goto(page_url(name))
    sheets = _sheets(page, tmp_path)
    page.close()
    in_chromium = chromium.new_page()
    in_chromium.goto(page_url(name))
    assert {} == missing_words(in_chromium, sheets)
    in_chromium.close()
    assert [] == [word for sheet in sheets for word in sheet.off_the_paper]


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_a_long_table_has_its_heads_on_each_sheet_and_no_row_is_cut(
    size: str, wide_site: Path, open_page: Callable[..., Visit], browser: Browser, tmp_path: Path
) -> None:
    """Ten columns and ninety rows: every cell printed once, each row whole on one sheet, below its heads."""
    page = open_page((wide_site / WIDE).as_uri()).page
    sheets = _sheets(page, tmp_path, size)
    with_rows = [sheet for sheet in sheets if "c0" in sheet.text]
    assert len(with_rows) > 1
    on_sheet: dict[str, int] = {}
    for number, sheet in enumerate(with_rows):
        told = tokens([sheet.text])
        assert [1] * COLUMNS == [told[f"Head{column}"] for column in range(COLUMNS)]
        assert [] == sheet.off_the_paper
        on_sheet |= {word: number for word in told if word.startswith("r") and word[1:2].isdigit()}
    assert {f"r{row}c{column}" for row in range(ROWS) for column in range(COLUMNS)} == on_sheet.keys()
    for row in range(ROWS):
        assert 1 == len({on_sheet[f"r{row}c{column}"] for column in range(COLUMNS)}), f"row {row} is cut"


def test_letters_of_a_wide_table_can_still_be_read(wide_site: Path, open_page: Callable[..., Visit]) -> None:
    """Ten columns are set in 7 pt, not smaller (common practice for the least that is read on paper, no source)."""
    page = open_page((wide_site / WIDE).as_uri()).page
    page.emulate_media(media="print")
    sizes = page.evaluate("[...document.querySelectorAll('td, th')].map(cell => getComputedStyle(cell).fontSize)")
    assert 6.999 < min(float(size.removesuffix("px")) * 72 / 96 for size in sizes)


@pytest.mark.parametrize("name", ["reference/theatre-1.html", "reference/scanner-1.html"])
def test_a_table_stands_whole_on_one_sheet_with_its_caption(
    name: str, page_url: Callable[[str], str], open_page: Callable[..., Visit], browser: Browser, tmp_path: Path
) -> None:
    """Caption and last row are on the same sheet, for each table that a call gives: none is longer than a sheet."""
    page = open_page(page_url(name)).page
    tables = page.evaluate(
        "[...document.querySelectorAll('.yb-table table.yb-numbers')].map(table =>"
        " [table.caption.innerText, table.rows[table.rows.length - 1].innerText])"
    )
    sheets = [tokens([sheet.text]) for sheet in _sheets(page, tmp_path)]
    assert len(tables) >= 4
    for texts in tables:
        assert any(not tokens(texts) - sheet for sheet in sheets), texts[0]


def test_the_register_begins_on_its_first_sheet(
    wide_site: Path, open_page: Callable[..., Visit], browser: Browser, tmp_path: Path
) -> None:
    """Its first rows stand below its title, though all of its rows need more than a sheet."""
    sheets = _sheets(open_page((wide_site / "register.html").as_uri()).page, tmp_path)
    assert "CYL-01" in sheets[0].text
    assert "CYL-01" in sheets[1].text + sheets[2].text


def test_a_form_takes_the_whole_width_of_a_sheet(
    page_url: Callable[[str], str], open_page: Callable[..., Visit]
) -> None:
    """A record that is filled in by hand has room for a signature: 70 mm in two columns (from memory, no source)."""
    page = open_page(page_url("procedures/changing-a-cylinder.html"), viewport={"width": 688, "height": 900}).page
    page.emulate_media(media="print")
    form = page.locator(".yb-form").last
    whole, within = form.bounding_box(), page.locator("article").bounding_box()
    assert whole is not None
    assert within is not None
    assert abs(within["width"] - whole["width"]) < 1
    empty = form.locator("tbody tr").first.locator("td:empty").evaluate_all("all => all.map(each => each.offsetWidth)")
    assert 70 / 25.4 * 96 < sum(empty)


@pytest.mark.parametrize("with_script", [True, False])
def test_what_is_folded_away_is_printed(
    with_script: bool, wide_site: Path, open_page: Callable[..., Visit], browser: Browser, tmp_path: Path
) -> None:
    """A folded part is on the paper, with script and without; with script it is folded on the screen."""
    page = open_page((wide_site / WIDE).as_uri(), java_script_enabled=with_script).page
    folded = page.locator("details.note")
    assert (not with_script) == folded.locator("p").last.is_visible()
    assert "quillwort" in " ".join(sheet.text for sheet in _sheets(page, tmp_path))
    assert (not with_script) == folded.locator("p").last.is_visible()


@pytest.fixture(scope="module")
def seventh() -> Path:
    """The demo's seventh edition, with issue 2 of CYL-01."""
    told = {"issue": 2, "in_force_since": date(2026, 3, 2), "review_due": date(2027, 3, 2)}
    shared = made_once("seventh", lambda target: build_edition(target, 7, date(2026, 3, 2), CYL_01=told))
    return shared / "editions/0007"


def test_each_sheet_of_an_edition_says_which_copy_it_is(
    seventh: Path, browser: Browser, open_page: Callable[..., Visit], tmp_path: Path
) -> None:
    """Number, issue, edition, in force from, review due, that the copy is uncontrolled; none of it on a screen."""
    page = open_page((seventh / CHANGING).as_uri()).page
    assert not page.locator(".yb-sheet").is_visible()
    sheets = _sheets(page, tmp_path)
    assert len(sheets) > 2
    for sheet in sheets:
        assert "Printed copies are uncontrolled. Changing a cylinder on the yoke" in sheet.text
        assert "Number CYL-01 · issue 2 · edition 7 · in force from 2026-03-02 · review due 2027-03-02" in sheet.text
        assert "DRAFT" not in sheet.text


def test_each_sheet_of_a_draft_says_so(
    page_url: Callable[[str], str], browser: Browser, open_page: Callable[..., Visit], tmp_path: Path
) -> None:
    """A draft left at a machine cannot be taken for what is in force."""
    sheets = _sheets(open_page(page_url(CHANGING)).page, tmp_path)
    assert len(sheets) > 2
    assert all("DRAFT: not approved, not for use." in sheet.text for sheet in sheets)


def test_the_foot_covers_no_text(
    page_url: Callable[[str], str], browser: Browser, open_page: Callable[..., Visit], tmp_path: Path
) -> None:
    """Nothing is printed below the first words of the foot but the foot."""
    for sheet in _sheets(open_page(page_url(CHANGING)).page, tmp_path):
        (top,) = {word.top_mm for word in sheet.words if word.text == "uncontrolled."}
        foot = [word.text for word in sheet.words if word.top_mm > top - 2]
        assert foot[:2] == ["DRAFT:", "not"]


def test_paper_leads_to_the_page_as_it_is_now(wide_site: Path, open_page: Callable[..., Visit], tmp_path: Path) -> None:
    """A QR code that another program reads (ZXing), white around it, and its address in words: on paper alone."""
    page = open_page((wide_site / CHANGING).as_uri()).page
    assert not page.locator(".yb-paper").is_visible()
    pdf = tmp_path / "printed.pdf"
    sheets = print_page(page, pdf, "A4")
    assert f"{ADDRESS}/go/cyl-01.html" in sheets[-1].text
    subprocess.run([program("pdftoppm", "poppler-utils"), "-r", "150", "-png", pdf, tmp_path / "sheet"], check=True)
    images = sorted(tmp_path.glob("sheet*.png"))
    read = [code.text for path in images for code in zxingcpp.read_barcodes(Image.open(path))]
    assert [f"{ADDRESS}/go/cyl-01.html"] == read


def test_without_a_web_address_there_is_no_code(
    page_url: Callable[[str], str], open_page: Callable[..., Visit]
) -> None:
    """A department whose pages lie in a folder alone has no address that a telephone could open."""
    assert 0 == open_page(page_url(CHANGING)).page.locator(".yb-paper").count()


def test_paper_is_black_on_white_though_the_screen_is_dark(page_url: Callable[[str], str], chromium: Browser) -> None:
    """No ink is spent on a dark ground, and no letter is lost on it."""
    page = chromium.new_page(color_scheme="dark")
    page.goto(page_url(CHANGING))
    page.emulate_media(media="print", color_scheme="dark")
    style = "getComputedStyle(document.querySelector('{}')).{}"
    for what in (".yb-text p", ".yb-text h1", ".admonition.danger .admonition-title"):
        assert "rgb(0, 0, 0)" == page.evaluate(style.format(what, "color")), what
    assert "rgb(255, 255, 255)" == page.evaluate(style.format("body", "backgroundColor"))
    page.close()
