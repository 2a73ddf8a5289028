"""In force or not, judged where the page is read: by the page's own facts, the list of editions and the day."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from shared import copy_of
from standing_site import CHANGING, PLUGGING, build_edition, entry, listed, write_list
from yokebook.control.standing import State, Withdrawal

ROOT = "../../../"
FIRST = entry(1, "2026-01-05", CYL_01=1, CYL_02=1)
SECOND = entry(2, "2026-03-02", CYL_01=2, CYL_02=1)
BOTH = listed(FIRST, SECOND)
REASON = "Its table was read in the wrong unit"


def page_of(
    edition: int | None, procedure: str = "CYL-01", issue: int | None = 1, due: str = "2027-01-05"
) -> dict[str, Any]:
    """Return what a page says of itself."""
    return {
        "edition": edition,
        "procedure": procedure,
        "issue": issue,
        "reviewDue": due,
        "owner": "equipment lead",
        "root": ROOT,
    }


def withdrawal(on: str, instead: str) -> dict[str, str]:
    return {"on": on, "reason": REASON, "instead": instead}


BACK_TO_FIRST = listed(FIRST, SECOND | {"withdrawn": withdrawal("2026-04-01", "edition 1")})

OVERDUE = "Review overdue. Still the issue in force: use it. Review was due on 2026-06-01; tell the equipment lead."
CHANGED = (
    "Superseded. Do not use this page. Superseded by edition 2, in force since 2026-03-02. In force now: "
    "[CYL-01 issue 2, Changing a cylinder on the yoke](../../../go/cyl-01.html)"
)
IN_FIRST = (
    "[CYL-01 issue 1, Changing a cylinder on the yoke](../../../editions/0001/procedures/changing-a-cylinder.html)"
)
UNCHANGED = (
    "Superseded. Superseded by edition 2, in force since 2026-03-02. CYL-02 issue 1 stands unchanged in it. "
    "[CYL-02 issue 1, Changing a cylinder on the yoke](../../../go/cyl-02.html)"
)
CANNOT_TELL = (
    "In force? It cannot be told here: the list of editions is missing or damaged. Open the page from the "
    "department’s own folder of editions, or ask the equipment lead."
)
WITHDRAWN = (
    "Withdrawn. Do not use this page. CYL-01 was withdrawn on 2026-04-01. Reason: Its table was read in the wrong "
    "unit. Use instead: "
)

CASES: dict[str, tuple[list[str], dict[str, Any], dict[str, Any] | None, str]] = {
    "in force on its first day": ([], page_of(2, issue=2), BOTH, "2026-03-02"),
    "in force on the day of its review": ([], page_of(2, issue=2, due="2026-06-01"), BOTH, "2026-06-01"),
    "overdue the day after": ([OVERDUE], page_of(2, issue=2, due="2026-06-01"), BOTH, "2026-06-02"),
    "the old edition on the last day before the new one": ([], page_of(1), BOTH, "2026-03-01"),
    "changed in a newer edition": ([CHANGED], page_of(1), BOTH, "2026-03-02"),
    "changed, and its review is no one's business any more": (
        [CHANGED],
        page_of(1, due="2026-06-01"),
        BOTH,
        "2026-07-01",
    ),
    "unchanged in a newer edition": ([UNCHANGED], page_of(1, "CYL-02"), BOTH, "2026-03-02"),
    "unchanged in a newer edition and overdue": (
        [UNCHANGED, OVERDUE],
        page_of(1, "CYL-02", due="2026-06-01"),
        BOTH,
        "2026-06-02",
    ),
    "no longer there": (
        [
            "Superseded. Do not use this page. Superseded by edition 2, in force since 2026-03-02. CYL-09 is no longer "
            "in it. [See the list of editions](../../../editions.html)"
        ],
        page_of(1, "CYL-09"),
        BOTH,
        "2026-03-02",
    ),
    "a page without a number": (
        [
            "Superseded. Superseded by edition 2, in force since 2026-03-02. "
            "[Open this reference as it is now](../../../index.html)"
        ],
        page_of(1, "", None, ""),
        BOTH,
        "2026-03-02",
    ),
    "not in force yet": (
        [
            "Not in force yet. Edition 2 is in force only from 2026-03-02; this computer says that today is "
            "2026-03-01. Until then edition 1 is in force: " + IN_FIRST
        ],
        page_of(2, issue=2),
        BOTH,
        "2026-03-01",
    ),
    "a clock that has lost its battery": (
        ["Not in force yet. Edition 1 is in force only from 2026-01-05; this computer says that today is 1970-01-01. "],
        page_of(1),
        BOTH,
        "1970-01-01",
    ),
    "withdrawn, another in its place": (
        [WITHDRAWN + "[CYL-02](../../../go/cyl-02.html)"],
        page_of(2, issue=2, due="2026-01-01"),
        BOTH | {"withdrawn": {"CYL-01": withdrawal("2026-04-01", "CYL-02")}},
        "2026-04-01",
    ),
    "withdrawn, words in its place": (
        [WITHDRAWN + "the supplier's own leaflet"],
        page_of(1),
        BOTH | {"withdrawn": {"CYL-01": withdrawal("2026-04-01", "the supplier's own leaflet")}},
        "2026-05-01",
    ),
    "to be withdrawn tomorrow": (
        [],
        page_of(2, issue=2),
        BOTH | {"withdrawn": {"CYL-01": withdrawal("2026-04-01", "CYL-02")}},
        "2026-03-31",
    ),
    "a withdrawn edition": (
        [
            "Withdrawn. Do not use this page. Edition 2 was withdrawn on 2026-04-01. Reason: Its table was read in the "
            "wrong unit. Use instead: the paper copies"
        ],
        page_of(2, issue=2),
        listed(FIRST, SECOND | {"withdrawn": withdrawal("2026-04-01", "the paper copies")}),
        "2026-04-02",
    ),
    "superseded by an edition that was withdrawn": (
        [
            CHANGED + " Edition 2 has been withdrawn: Its table was read in the wrong unit. "
            "Use instead: the paper copies"
        ],
        page_of(1),
        listed(FIRST, SECOND | {"withdrawn": withdrawal("2026-04-01", "the paper copies")}),
        "2026-04-02",
    ),
    "a withdrawn edition, an earlier one in its place": (
        [
            "Withdrawn. Do not use this page. Edition 2 was withdrawn on 2026-04-01. Reason: Its table was read in the "
            "wrong unit. Use instead: " + IN_FIRST
        ],
        page_of(2, issue=2),
        BACK_TO_FIRST,
        "2026-04-01",
    ),
    "in force again, since the edition after it was withdrawn": ([], page_of(1), BACK_TO_FIRST, "2026-04-01"),
    "superseded until the edition after it is withdrawn": ([CHANGED], page_of(1), BACK_TO_FIRST, "2026-03-31"),
    "an edition that is not current yet though it is listed": ([], page_of(1), BOTH | {"current": 1}, "2026-05-01"),
    "no list": ([CANNOT_TELL], page_of(1), None, "2026-02-01"),
    "a list of a kind to come": ([CANNOT_TELL], page_of(1), BOTH | {"version": 2}, "2026-02-01"),
    "a list that does not know the edition": ([CANNOT_TELL], page_of(3), BOTH, "2026-02-01"),
    "a draft": ([], page_of(None, issue=None, due=""), listed(FIRST) | {"current": None, "editions": []}, "2026-02-01"),
}

TOLD = """([page, list, today]) => yokebookStanding.judge(page, list, today).map(told => told.word + " " +
    told.parts.map(part => typeof part === "string" ? part : "[" + part.text + "](" + part.to + ")").join(""))"""


@pytest.fixture(scope="module")
def target(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A published folder with two editions: CYL-01 changed, CYL-02 did not, CYL-04 was withdrawn before the second."""
    return copy_of("standing", _make_target, tmp_path_factory.mktemp("standing"))


def _make_target(target: Path) -> None:
    withdrawn = {"state": State.WITHDRAWN, "withdrawal": Withdrawal(date(2026, 2, 1), "It trusted a spare", "CYL-03")}
    build_edition(target, 1, date(2026, 1, 5), CYL_02={"review_due": date(2026, 6, 1)})
    build_edition(target, 2, date(2026, 3, 2), CYL_01={"issue": 2}, CYL_04=withdrawn)
    write_list(target, BOTH)


@pytest.fixture(scope="module")
def tab(target: Path, browser: Browser) -> Iterator[Page]:
    """A page that has our script."""
    tab = browser.new_page()
    tab.goto((target / "editions/0002/index.html").as_uri())
    yield tab
    tab.close()


@pytest.mark.parametrize("name", CASES)
def test_what_is_said_of_a_page_on_a_day(name: str, tab: Page) -> None:
    """Each case of superseded, overdue, withdrawn, not yet in force, and a list that cannot be read."""
    expected, page, editions, today = CASES[name]
    assert expected == tab.evaluate(TOLD, [page, editions, today])


def shown(browser: Browser, path: Path, day: str, *, script: bool = True) -> dict[str, Any]:
    """Open a page on a day and return what its box and its cell of the state say."""
    context = browser.new_context(java_script_enabled=script, locale="en-GB", timezone_id="Europe/London")
    tab = context.new_page()
    if script:
        tab.clock.set_fixed_time(f"{day}T12:00:00")
    tab.goto(path.as_uri())
    state = tab.locator("#yokebook-state")
    found = {
        "told": tab.locator("#yokebook-standing").inner_text().split("\n\n"),
        "role": tab.locator("#yokebook-standing").get_attribute("role"),
        "state": state.inner_text() if state.count() else "",
        "page": tab.locator("main").inner_text(),
    }
    context.close()
    return found


def test_a_superseded_page_says_so_and_leads_to_the_issue_in_force(target: Path, browser: Browser) -> None:
    """The box is announced, the page's own cell follows, and the link is that of the procedure, not of the edition."""
    page = shown(browser, target / "editions/0001" / CHANGING, "2026-03-02")
    assert [CHANGED.replace("[", "").replace("](../../../go/cyl-01.html)", "")] == page["told"]
    assert ("status", "superseded") == (page["role"], page["state"])


def test_an_overdue_page_stays_in_force(target: Path, browser: Browser) -> None:
    """Whoever needs it uses it; the owner is named to be told."""
    page = shown(browser, target / "editions/0001" / PLUGGING, "2026-06-02")
    assert OVERDUE == page["told"][-1]
    assert "in force" == page["state"]


def test_a_page_in_force_says_nothing_more(target: Path, browser: Browser) -> None:
    """No box where there is nothing to say."""
    page = shown(browser, target / "editions/0002" / CHANGING, "2026-03-02")
    assert ([""], "in force") == (page["told"], page["state"])


def test_a_page_built_as_withdrawn_says_so_once(target: Path, browser: Browser) -> None:
    """What the page itself says is not said again by the list."""
    write_list(target, BOTH | {"withdrawn": {"CYL-04": withdrawal("2026-02-01", "CYL-03")}})
    page = shown(browser, target / "editions/0002/procedures/double-yoke.html", "2026-03-02")
    write_list(target, BOTH)
    assert 1 == page["page"].count("Do not use this page")
    assert "CYL-04 was withdrawn on 2026-02-01. Reason: It trusted a spare. Use instead: CYL-03" in page["page"]


def test_without_script_the_page_says_where_to_look(target: Path, browser: Browser) -> None:
    """The dates are printed, and the list of editions is one link away."""
    context = browser.new_context(java_script_enabled=False)
    tab = context.new_page()
    tab.goto((target / "editions/0001" / CHANGING).as_uri())
    head = tab.locator(".yb-title-block").inner_text()
    for fact in ("CYL-01", "1", "published with edition 1", "2026-01-05", "2027-01-05", "equipment lead"):
        assert fact in head
    told = tab.locator("main .yb-notice")
    assert (
        "Published with edition 1, in force from 2026-01-05. Before you use it, look whether it still is in force: "
        "CYL-01 as it is now · list of editions"
    ) == told.inner_text()
    ways = told.locator("a").evaluate_all("all => all.map(each => each.getAttribute('href'))")
    assert ["../../../go/cyl-01.html", "../../../editions.html"] == ways
    foot = tab.locator(".yb-foot")
    assert "Edition 1, in force from 2026-01-05 until a later edition supersedes it." in foot.inner_text()
    assert "../../../editions.html" == foot.locator("a").get_attribute("href")
    context.close()
