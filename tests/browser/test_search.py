"""Search, as staff use it: by words, numbers, local names and accents, by keyboard alone, without a server."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page, expect

from bench import Visit, until
from demo_site import ROOT
from yokebook.gases import PURE

PLUGGING = "procedures/plugging-an-empty-yoke.html"


def search(page: Page, words: str) -> list[str]:
    """Type words into the search of a page and return where the results lead, in their order."""
    page.get_by_role("searchbox").fill(words)
    until(page, "window.yokebookSearchIndex !== undefined")
    expect(page.locator("#yokebook-search [role=status]")).to_contain_text(re.compile("found", re.IGNORECASE))
    links: list[str] = page.locator("#yokebook-search a").evaluate_all("all => all.map(each => each.href)")
    return [link.partition("/editions/draft/")[2] for link in links]


FIND = """([pages, queries]) => {
  const index = pages.map(yokebookFind.folding);
  return queries.map(query => [query, yokebookFind.find(index, query).hits.map(yokebookFind.addressOf)]);
}"""
"""Finds queries among pages as the search does, without its box."""


def find(page: Page, pages: list[dict[str, Any]] | None, queries: list[str]) -> dict[str, list[str]]:
    """Return where each query leads among some pages of an index; among those of the site where none are given."""
    index = page.evaluate("yokebookSearchIndex") if pages is None else pages
    return dict(page.evaluate(FIND, [index, queries]))


LEADS_TO = {
    "N2O": "reference/nitrous-oxide.html",
    "n₂o": "reference/nitrous-oxide.html",
    "137": "reference/cylinders-and-machines.html",
    "2.5": "procedures/reading-the-gauge.html",
    "50:50": "reference/fifty-fifty.html",
    "CYL-06": "procedures/pipeline-fails.html",
    "cyl-06": "procedures/pipeline-fails.html",
    "gas and air": "reference/fifty-fifty.html",
    "laughing gas": "reference/nitrous-oxide.html",
    "change cylinder": "procedures/changing-a-cylinder.html",
    "oxygen failure": "procedures/pipeline-fails.html",
    "1 000 psi": "reference/scanner-1.html",
    "manom": "reference/gauges.html",
    "scanner-1 plug": "reference/scanner-1.html",
}
NAMED_SO = ("N2O", "CYL-06", "laughing gas", "change cylinder", "oxygen failure", "50:50")


def test_what_staff_type_leads_to_the_page(browser: Browser, open_page: Callable[..., Visit]) -> None:
    """Numbers, signs, numbers of procedures, local words and beginnings of words lead to the page that they mean.

    A page's own name counts for more than a mention on another page.
    """
    page = open_page("index.html").page
    found = {words: [link.partition("#")[0] for link in search(page, words)] for words in LEADS_TO}
    assert {} == {words: found[words] for words, there in LEADS_TO.items() if there not in found[words]}
    assert {words: LEADS_TO[words] for words in NAMED_SO} == {words: found[words][0] for words in NAMED_SO}


def only_in_tables(site: Path) -> list[tuple[str, str]]:
    """Return words that stand in a computed table and in nothing that an author wrote, each with its page."""
    written = {
        word
        for path in ROOT.glob("content/pages/**/*.md")
        for word in re.findall(r"[\w:]+", path.read_text(encoding="utf-8").lower())
    }
    found = dict[str, list[str]]()
    numbers = site / "editions" / "draft" / "numbers"
    for path in sorted(numbers.rglob("*.json")):
        page = path.relative_to(numbers).with_suffix(".html").as_posix()
        for call in json.loads(path.read_text(encoding="utf-8"))["calls"]:
            cells = " ".join([*(cell for row in call["shown"] for cell in row), call["texts"].get("caption", "")])
            for word in set(re.findall(r"\w+", cells.lower())) - written:
                found.setdefault(word, []).append(page)
    return [(word, pages[0]) for word, pages in sorted(found.items()) if len(set(pages)) == 1]


def test_a_word_only_of_a_computed_table_is_found(
    browser: Browser, built_site: Path, open_page: Callable[..., Visit]
) -> None:
    """Words and numbers that no author wrote, but a call worked out, lead to the table's page."""
    words = only_in_tables(built_site)
    assert 5 < len(words)
    page = open_page("index.html").page
    word, there = words[0]
    assert there in [link.partition("#")[0] for link in search(page, word)]
    found = find(page, None, [word for word, _ in words])
    assert [] == [(word, on) for word, on in words if on not in [link.partition("#")[0] for link in found[word]]]


def entry(page: str, title: str, text: str, **more: Any) -> dict[str, Any]:
    """Return a page of the index."""
    told = {
        "page": page,
        "title": title,
        "code": "",
        "called": [],
        "machines": [],
        "summary": "",
        "sections": [["a", "Heading", text]],
    }
    return told | more


PAGES = [
    entry("1.html", "Réserve à l’oxygène", "Détendeur, œillet, Größe, Übergang, Åse, ﬁltre"),
    entry("2.html", "Numbers", "137 bar, 12.5 min, 13\u202f700 kPa, 2-0 and C(3)"),
    entry("3.html", "Both", "alpha beta", called=["spare bottle"], code="CYL-03", machines=["theatre-1"]),
    entry("4.html", "Parts", "", sections=[["x", "One", "gamma"], ["y", "Two", "delta"]]),
]


EXPECTED = {
    "réserve": ["1.html#a"],
    "reserve": ["1.html#a"],
    "RÉSERVE": ["1.html#a"],
    "rese\u0301rve": ["1.html#a"],
    "detendeur": ["1.html#a"],
    "oeillet": ["1.html#a"],
    "œillet": ["1.html#a"],
    "grösse": ["1.html#a"],
    "grosse": ["1.html#a"],
    "filtre": ["1.html#a"],
    "137": ["2.html#a"],
    "13": ["2.html#a"],
    "13700": ["2.html#a"],
    "13 700": ["2.html#a"],
    "700": [],
    "2.5": [],
    "12.5": ["2.html#a"],
    "12x5": [],
    "37": [],
    "c(3)": ["2.html#a"],
    "(": [],
    ".*": [],
    "": [],
    "   ": [],
    "alpha gamma": [],
    "beta alpha": ["3.html#a"],
    "spare bottles": ["3.html#a"],
    "cyl-03": ["3.html#a"],
    "cyl\u201103": ["3.html#a"],
    "theatre-1 alpha": ["3.html#a"],
    "gamma": ["4.html#x"],
    "gamma delta": ["4.html"],
}


def test_how_words_are_compared(browser: Browser, open_page: Callable[..., Visit]) -> None:
    """With accents or without, from the beginning of a word, numbers whole, and all words of the query at one place."""
    page = open_page("index.html").page
    assert EXPECTED == find(page, PAGES, list(EXPECTED))


def test_one_wrong_letter_is_forgiven_where_nothing_is_found(browser: Browser, open_page: Callable[..., Visit]) -> None:
    """A letter that is wrong, missing, too many or in its neighbour's place; the search says what it looked for."""
    page = open_page("index.html").page
    for words in ("pipline", "pipelime", "pippeline", "pipelien", "PIPLINE fails"):
        assert "procedures/pipeline-fails.html" in [link.partition("#")[0] for link in search(page, words)], words
    told = page.locator("#yokebook-search").get_by_role("status").inner_text()
    assert "Nothing found for “PIPLINE fails”. For “pipeline fails”" == told.partition(":")[0]
    assert told.endswith(" places found.")


FORGIVEN = {
    "alpah": ["3.html#a"],
    "alpa beta": ["3.html#a"],
    "gamme delta": ["4.html"],
    "gammmma": [],
    "138": [],
    "13.5": [],
    "cyl-04": [],
    "theatre-2": [],
    "bat": [],
}


def test_a_number_is_never_taken_for_another(browser: Browser, open_page: Callable[..., Visit]) -> None:
    """Only words of letters are corrected, by one letter; a short word and a number mean what they say."""
    page = open_page("index.html").page
    assert FORGIVEN == find(page, PAGES, list(FORGIVEN))


def test_another_way_to_write_what_is_there_is_understood(browser: Browser, open_page: Callable[..., Visit]) -> None:
    """A gas by its formula, a decimal comma, a procedure's number without its hyphen or its nought."""
    page = open_page("index.html").page
    for words, meant, there in (
        ("CO2", "carbon dioxide", "reference/pin-index.html"),
        ("2,5", "2.5", "procedures/reading-the-gauge.html"),
        ("cyl7", "cyl-07", "procedures/leaving-with-a-patient.html"),
    ):
        assert there in [link.partition("#")[0] for link in search(page, words)], words
        told = page.locator("#yokebook-search").get_by_role("status").inner_text()
        assert f"Nothing found for “{words}”. For “{meant}”" == told.partition(":")[0]
    pages = [entry(f"{gas.formula}.html", "Gas", gas.name) for gas in PURE if "₂" in gas.formula]
    plain = {gas.formula: gas.formula.replace("₂", "2") for gas in PURE if "₂" in gas.formula}
    assert {plain[name]: [f"{name}.html#a"] for name in plain} == find(page, pages, list(plain.values()))


def test_what_is_for_authors_comes_last_among_equals(browser: Browser, open_page: Callable[..., Visit]) -> None:
    """Where the home page does not lead comes after what answers as well; a better answer still comes first."""
    page = open_page("index.html").page
    pages = [entry("a.html", "One", "valve", last=True), entry("b.html", "Two", "valve", last=False)]
    assert ["b.html#a", "a.html#a"] == find(page, pages, ["valve"])["valve"]
    pages[0]["title"] = "Valve"
    assert ["a.html#a", "b.html#a"] == find(page, pages, ["valve"])["valve"]


def test_pages_to_which_home_does_not_lead_are_marked_in_the_index(built_site: Path) -> None:
    """The author's reference is; procedures, tables and the home page are not."""
    text = (built_site / "editions/draft/search_index.js").read_text(encoding="utf-8")
    index = json.loads(text.removeprefix("var yokebookSearchIndex = ").removesuffix(";\n"))
    marked = {page["page"].partition("/")[0] for page in index if page["last"]}
    unmarked = {page["page"].partition("/")[0] for page in index if not page["last"]}
    assert "writing" in marked
    assert {"index.html", "procedures", "reference"} <= unmarked
    assert set() == marked & unmarked


def test_by_keyboard_alone(browser: Browser, open_page: Callable[..., Visit]) -> None:
    """Tab leads to it, arrows walk through the results, Escape closes it, Enter opens what is chosen."""
    page = open_page("index.html").page
    box, panel = page.get_by_role("searchbox"), page.locator(".yb-search__panel")
    for _ in range(4):
        page.keyboard.press("Tab")
        if box.evaluate("box => box === document.activeElement"):
            break
    expect(box).to_be_focused()
    page.keyboard.type("plugging empty yoke")
    links = page.locator("#yokebook-search a")
    expect(links.first).to_be_visible()
    page.keyboard.press("ArrowDown")
    expect(links.nth(0)).to_be_focused()
    page.keyboard.press("ArrowDown")
    expect(links.nth(1)).to_be_focused()
    page.keyboard.press("ArrowUp")
    page.keyboard.press("ArrowUp")
    expect(box).to_be_focused()
    page.keyboard.press("Escape")
    expect(panel).to_be_hidden()
    expect(box).to_be_focused()
    page.keyboard.type(" plug")
    expect(panel).to_be_visible()
    page.keyboard.press("Enter")
    expect(links.nth(0)).to_be_focused()
    page.keyboard.press("Enter")
    page.wait_for_url(re.compile(re.escape(PLUGGING)))


def test_leaving_it_closes_it(browser: Browser, open_page: Callable[..., Visit]) -> None:
    """With Tab beyond the last result, or a click beside it."""
    page = open_page("index.html").page
    assert search(page, "CYL-06")
    page.locator("#yokebook-search a").last.focus()
    page.keyboard.press("Tab")
    expect(page.locator(".yb-search__panel")).to_be_hidden()
    page.get_by_role("searchbox").click()
    expect(page.locator(".yb-search__panel")).to_be_visible()
    page.locator("h1").click()
    expect(page.locator(".yb-search__panel")).to_be_hidden()


def test_how_many_places_were_found_is_announced(browser: Browser, open_page: Callable[..., Visit]) -> None:
    """In a status line, in words, with what to do where nothing was found."""
    page = open_page("index.html").page
    told = page.locator("#yokebook-search").get_by_role("status")
    assert [] == search(page, "xyzzy & <b>")
    assert "Nothing found for “xyzzy & <b>”. Try fewer words, or look under All pages." == told.inner_text()
    count = len(search(page, "N2O"))
    assert f"{count} places found." == told.inner_text()


def test_a_result_leads_to_the_heading_where_the_words_stand(browser: Browser, open_page: Callable[..., Visit]) -> None:
    """The place is within the page, and the page has it."""
    page = open_page("index.html").page
    assert "reference/theatre-1.html#the-oxygen-lamp" in search(page, "oxygen lamp theatre")
    page.locator('#yokebook-search a[href$="#the-oxygen-lamp"]').click()
    page.wait_for_url(re.compile("#the-oxygen-lamp$"))
    assert page.locator("#the-oxygen-lamp").count() == 1


def test_every_place_of_the_index_is_there(
    built_site: Path, chromium: Browser, open_page: Callable[..., Visit]
) -> None:
    """Each page and each anchor of the index exists; no page of workings is in it; nothing in it looks like a call."""
    edition = built_site / "editions" / "draft"
    text = (edition / "search_index.js").read_text(encoding="utf-8")
    assert "{{" not in text
    index = json.loads(text.removeprefix("var yokebookSearchIndex = ").removesuffix(";\n"))
    assert {
        path.relative_to(edition).as_posix() for path in edition.rglob("*.html") if "workings" not in path.name
    } == {page["page"] for page in index}
    for page in index:
        html = (edition / page["page"]).read_text(encoding="utf-8")
        for anchor, heading, _ in page["sections"]:
            assert not anchor or f'id="{anchor}"' in html, (page["page"], heading)


def test_a_withdrawn_procedure_says_so_among_the_results(chromium: Browser, open_page: Callable[..., Visit]) -> None:
    """Whoever searches sees before opening it that it was withdrawn, from the list of editions."""
    page = open_page("index.html").page
    page.evaluate("yokebookEditions.withdrawn['CYL-06'] = {on: '2026-04-01', reason: 'r', instead: 'i'}")
    search(page, "CYL-06")
    assert " CYL-06, withdrawn from 2026-04-01 on" in page.locator(".yb-search__code").all_text_contents()


def test_a_missing_index_is_told_in_words(
    browser: Browser, built_site: Path, tmp_path: Path, open_page: Callable[..., Visit]
) -> None:
    """A copy of a page without its neighbours says why it cannot search."""
    for path in ("index.html", "assets/yokebook-find.js", "assets/yokebook-search.js"):
        (tmp_path / path).parent.mkdir(exist_ok=True)
        (tmp_path / path).write_bytes((built_site / "editions" / "draft" / path).read_bytes())
    page = open_page((tmp_path / "index.html").as_uri()).page
    page.get_by_role("searchbox").focus()
    expect(page.locator("#yokebook-search").get_by_role("status")).to_have_text(
        "Search cannot be used here: its file, search_index.js, is missing. Look under All pages."
    )


def test_without_script_there_is_no_dead_control(browser: Browser, open_page: Callable[..., Visit]) -> None:
    """The place of the search stays empty; all pages are still listed."""
    page = open_page("index.html", java_script_enabled=False).page
    assert 0 == page.locator("input, select, button").count()
    assert 10 < page.locator("nav a").count()
