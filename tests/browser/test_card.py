"""A machine card on paper and on a screen: one sheet, letters that are read at arm's length, its copy told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from bench import Visit
from demo_site import copy_demo
from printed import SIZES_MM, print_page, sheets_of, tokens
from shared import made_once
from yokebook.control.cards import Card
from yokebook.control.standing import EditionMark
from yokebook.figures.card_layout import SHEETS, CardWords, needed_mm
from yokebook.reference.assembling import assembled
from yokebook.site.build import build_edition
from yokebook.templates import folder as template_folder
from yokebook.templates import render

THEATRE, SCANNER = "cards/theatre-1-oxygen.html", "cards/scanner-1-oxygen.html"
CARDS = [(THEATRE, "A6"), (SCANNER, "A5")]
WORDS = "Close the empty cylinder before you open the full one and say aloud which of them you have in your hand now"


@pytest.mark.parametrize(("name", "size"), CARDS)
def test_a_card_is_one_sheet_with_all_its_words(
    name: str,
    size: str,
    page_url: Callable[[str], str],
    open_page: Callable[..., Visit],
    browser: Browser,
    tmp_path: Path,
) -> None:
    """Every word of the card, and none of the page around it, lies on one sheet of its size."""
    page = open_page(page_url(name)).page
    (sheet,) = print_page(page, tmp_path / "card.pdf", size)
    shown = tokens(page.locator(".yb-card > :not(.yb-card__top), .yb-card__beside").all_inner_texts())
    assert {} == dict(shown - tokens([sheet.text]))
    assert [] == sheet.off_the_paper
    assert "Laminate it" not in sheet.text


@pytest.mark.parametrize(("name", "size"), CARDS)
def test_a_card_asks_for_its_own_size_of_paper(
    name: str, size: str, page_url: Callable[[str], str], open_page: Callable[..., Visit], tmp_path: Path
) -> None:
    """Chromium takes it; Firefox prints the card in true size on the paper that is in the printer."""
    page = open_page(page_url(name)).page
    page.pdf(path=tmp_path / "card.pdf", prefer_css_page_size=True)
    (sheet,) = sheets_of(tmp_path / "card.pdf")
    assert SIZES_MM[size] == pytest.approx((sheet.width_mm, sheet.height_mm), abs=0.5)
    assert [] == sheet.off_the_paper


@pytest.mark.parametrize(("name", "size"), CARDS)
def test_the_table_of_a_card_is_set_in_14_pt_or_larger(
    name: str, size: str, page_url: Callable[[str], str], open_page: Callable[..., Visit], browser: Browser
) -> None:
    """Every cell and every head, and no more than seven rows and four columns of them."""
    page = open_page(page_url(name)).page
    page.emulate_media(media="print")
    cells = page.evaluate(
        "[...document.querySelectorAll('.yb-card td, .yb-card th')].map(each => getComputedStyle(each).fontSize)"
    )
    assert 13.999 < min(float(size.removesuffix("px")) * 72 / 96 for size in cells)
    assert page.locator(".yb-card tbody tr").count() <= 7
    assert page.locator(".yb-card thead th").count() <= 4


def _fullest(size: str, *, columns: int, with_hazards: bool) -> CardWords:
    """Return words that fill a card of a size as far as it is filled without a refusal."""
    row = ("below 100", *("1 h 25 min" for _ in range(columns)))
    words = CardWords(
        head="theatre-1 · Oxygen",
        hazards=("Ventilate by hand, and say so.", "Open one cylinder at a time.") if with_hazards else ("Look.",),
        first="First: the left one",
        beside="For cylinders stamped 4.68 L (size E, UK), for dials that end at 250 bar.",
        caption="At least how long one cylinder lasts",
        rows=(("Reading (bar)", *("By hand at low flow" for _ in range(columns))), row, row, row, row),
        under="WARNING:",
    )
    assert needed_mm(words, SHEETS[size]) < SHEETS[size].body_mm
    for word in WORDS.split() * 60:
        longer = replace(words, under=f"{words.under} {word}")
        if needed_mm(longer, SHEETS[size]) > SHEETS[size].body_mm:
            return words
        words = longer
    raise AssertionError("the card never fills")


@pytest.mark.parametrize("size", ["A6", "A5"])
@pytest.mark.parametrize(("columns", "with_hazards"), [(1, True), (2, True), (3, False)])
def test_the_fullest_card_that_is_not_refused_fits(
    size: str, columns: int, with_hazards: bool, browser: Browser, tmp_path: Path
) -> None:
    """What the program counts and what a browser sets agree: one sheet, nothing below its foot, in both browsers."""
    words = _fullest(size, columns=columns, with_hazards=with_hazards)
    dial = '<svg viewBox="0 0 340 332" width="340" height="332"><circle cx="170" cy="166" r="160"/></svg>'
    html = render(
        "card.html",
        card={
            "size": size, "head": words.head, "hazards": words.hazards, "order": words.first, "beside": words.beside,
            "caption": words.caption, "heads": words.rows[0], "rows": words.rows[1:], "under": words.under,
            "draw_dial": lambda: dial, "condition": "", "working": {"inputs": (), "lines": ()},
        },
    )  # fmt: skip
    foot = '<div class="yb-card__foot"><p>Number CARD-01</p></div>'
    assets = template_folder() / "theme" / "assets"
    styles = "".join(
        f'<link rel="stylesheet" href="{(assets / name).as_uri()}">'
        for name in ("yokebook.css", "yokebook-print.css", "yokebook-card.css")
    )
    page_class = "yb-card-page yb-card-page--a5" if size == "A5" else "yb-card-page"
    file = tmp_path / "card.html"
    html = html.replace('<div class="yb-card__foot"></div>', foot)
    file.write_text(
        f'<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Card</title>{styles}</head>'
        f'<body class="{page_class}"><div class="yb-frame"><main class="yb-main"><article class="yb-text">{html}'
        "</article></main></div></body></html>",
        encoding="utf-8",
    )
    page = browser.new_page()
    page.goto(file.as_uri())
    (sheet,) = print_page(page, tmp_path / "card.pdf", size)
    page.close()
    assert {} == dict(tokens([words.under, *words.rows[-1]]) - tokens([sheet.text]))
    assert [] == sheet.off_the_paper
    lowest_of_foot = max(word.bottom_mm for word in sheet.words if word.text == "CARD-01")
    assert lowest_of_foot < sheet.height_mm - SHEETS[size].margin_mm
    assert lowest_of_foot > sheet.height_mm / 2, "the card is not full: the test shows nothing"


@pytest.fixture(scope="module")
def registered() -> Path:
    """An edition of the demo in which one card has two registered copies."""
    return made_once("registered", _make_registered) / "edition"


def _make_registered(folder: Path) -> None:
    reference = assembled(copy_demo(folder / "department"))
    places = (("left column, by the gauges", 1), ("drawer of the trolley", 2))
    cards = tuple(
        Card.model_validate(
            {"card": "theatre-1-oxygen", "machine": "theatre-1", "place": place, "copy": str(copy), "issue": "1"}
        )
        for place, copy in places
    )
    edition = replace(reference, cards=cards, edition=EditionMark(7, date(2026, 3, 2)))
    assert build_edition(edition, folder / "edition") is None


def test_each_registered_copy_is_printed_with_its_number_and_place(
    registered: Path, open_page: Callable[..., Visit], browser: Browser, tmp_path: Path
) -> None:
    """One sheet a copy; on a screen only one is seen."""
    page = open_page((registered / THEATRE).as_uri()).page
    assert [True, False] == [card.is_visible() for card in page.locator(".yb-card").all()]
    first, second = print_page(page, tmp_path / "cards.pdf", "A6")
    assert "Controlled copy 1, the theatre machine, left column, by the gauges." in first.text
    assert "Controlled copy 2, the theatre machine, drawer of the trolley." in second.text
    assert "uncontrolled" not in first.text + second.text
    assert [] == first.off_the_paper + second.off_the_paper


def test_an_unregistered_card_says_that_it_is_no_controlled_copy(
    registered: Path, open_page: Callable[..., Visit], tmp_path: Path
) -> None:
    """Whoever prints one for themselves cannot hang it as if it were registered."""
    (sheet,) = print_page(open_page((registered / SCANNER).as_uri()).page, tmp_path / "card.pdf", "A5")
    assert "Not a controlled copy: printed copies are uncontrolled. Number CARD-02" in sheet.text


def test_a_draft_of_a_card_says_so(
    page_url: Callable[[str], str], open_page: Callable[..., Visit], browser: Browser, tmp_path: Path
) -> None:
    """A card that nobody approved is not to hang anywhere."""
    (sheet,) = print_page(open_page(page_url(THEATRE)).page, tmp_path / "card.pdf", "A6")
    assert "DRAFT: not approved, not for use. Not a controlled copy" in sheet.text


@pytest.mark.parametrize("width", [1280, 320])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_on_a_card(
    scheme: str, width: int, page_url: Callable[[str], str], chromium: Browser, axe: Path
) -> None:
    """Names, contrast and order, in light and dark, wide and narrow (WCAG 2.2, A and AA)."""
    context = chromium.new_context(
        bypass_csp=True,
        color_scheme=scheme,  # type: ignore[arg-type]
        viewport={"width": width, "height": 800},
    )
    page = context.new_page()
    for name, _ in CARDS:
        page.goto(page_url(name))
        page.evaluate(axe.read_text(encoding="utf-8"))
        rules = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa"]
        result = page.evaluate("rules => axe.run(document, {runOnly: {type: 'tag', values: rules}})", rules)
        assert len(result["passes"]) > 15
        assert [] == [f"{each['id']} {each['nodes'][0]['html'][:200]}" for each in result["violations"]]
        assert page.evaluate("document.documentElement.scrollWidth") <= width
    context.close()
