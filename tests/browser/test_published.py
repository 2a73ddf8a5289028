"""A published folder in both browsers: pointers, old editions, what was withdrawn; and after some kills."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from functools import partial
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from approvals import SIGNER, TODAY, approve
from bench import Visit
from demo_site import change
from fake_editions import QuickDisk, assert_finished, assert_whole
from killed import MortalDisk, in_a_process, publish_next, starting_from
from printed import sheets_of
from real_editions import approved_department, publish
from shared import copy_of
from yokebook.control.standing import Withdrawal
from yokebook.control.target import Target
from yokebook.reference import withdrawing

ABROAD = {"locale": "en-GB", "timezone_id": "Europe/London"}


@pytest.fixture(scope="module")
def target(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two real editions, of which the second changed CYL-02, and CYL-01 withdrawn after that."""
    return copy_of("published", _make_target, tmp_path_factory.mktemp("published")) / "target"


def _make_target(folder: Path) -> None:
    site, root = approved_department(folder / "site"), folder / "target"
    publish(site, root, date(2026, 3, 9))
    change(site / "content/pages/other.md", "in good light", "in a good light")
    approve(site, "CYL-02", signer=replace(SIGNER, on=date(2026, 4, 1), reason="the light was misread"))
    publish(site, root, date(2026, 5, 4))
    told = Withdrawal(date(2026, 6, 1), "Its machine has gone", "CYL-02")
    order = withdrawing.Order(site, Target(root, QuickDisk()), told, "a@b", TODAY)
    assert [] == withdrawing.withdraw(order, "CYL-01").problems


Open = Callable[..., Visit]


def arrived(visit: Visit, end: str) -> str:
    """Wait until a pointer has led on, and return the text of the page that it led to."""
    visit.page.wait_for_url(f"**/{end}")
    visit.page.wait_for_load_state()
    assert ([], []) == (visit.left, visit.troubles)
    return visit.page.locator("body").inner_text()


def test_the_html_of_all_that_is_published_is_without_a_fault(target: Path, vnu_jar: Path) -> None:
    """Pointers, and the pages that the records give, such as the briefing, too."""
    command = ["java", "-jar", str(vnu_jar), "--errors-only", "--skip-non-html", str(target)]
    result = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (0, "") == (result.returncode, result.stdout + result.stderr)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_briefing_of_a_real_edition_is_one_sheet(
    target: Path, chromium: Browser, paper: str, tmp_path: Path
) -> None:
    """With all that stands around it on its page, and room for names."""
    tab = chromium.new_page()
    tab.goto((target / "editions/0002/briefing.html").as_uri())
    tab.pdf(path=tmp_path / "briefing.pdf", format=paper)
    tab.close()
    (sheet,) = sheets_of(tmp_path / "briefing.pdf")
    assert "Read by" in sheet.text


@pytest.mark.usefixtures("browser")
def test_the_first_page_and_a_procedures_pointer_lead_into_the_current_edition(target: Path, open_page: Open) -> None:
    """At once, over file://, with nothing asked for elsewhere."""
    assert "Edition 2" in arrived(open_page((target / "index.html").as_uri()), "editions/0002/index.html")
    page = arrived(open_page((target / "go/cyl-02.html").as_uri()), "editions/0002/other.html")
    assert "in a good light" in page
    assert "Superseded" not in page


@pytest.mark.usefixtures("browser")
def test_an_old_edition_says_that_it_is_old_and_leads_to_the_procedure_now(target: Path, open_page: Open) -> None:
    """Though none of its bytes changed."""
    visit = open_page((target / "editions/0001/other.html").as_uri(), **ABROAD)
    box = visit.page.locator("#yokebook-standing")
    assert "Superseded by edition 2, in force since 2026-05-04." in box.inner_text()
    box.get_by_role("link").first.click()
    assert "in a good light" in arrived(visit, "editions/0002/other.html")


@pytest.mark.usefixtures("browser")
def test_a_withdrawn_procedure_says_why_and_what_instead(target: Path, open_page: Open) -> None:
    """Its pointer stays where it is, and so does each edition's page: in red, with the reason."""
    visit = open_page((target / "go/cyl-01.html").as_uri())
    text = visit.page.locator("main").inner_text()
    assert "Do not use CYL-01. It was withdrawn on 2026-06-01." in text
    assert "Reason: Its machine has gone." in text
    colours = "getComputedStyle(document.querySelector('.yb-withdrawn'))"
    assert "rgb(143, 20, 20)" == visit.page.evaluate(f"{colours}.color")
    visit.page.get_by_role("link", name="CYL-02 Reading the gauge").click()
    arrived(visit, "editions/0002/other.html")
    old = open_page((target / "editions/0001/page.html").as_uri(), **ABROAD)
    assert "Reason: Its machine has gone." in old.page.locator("#yokebook-standing").inner_text()


@pytest.mark.usefixtures("browser")
def test_the_list_of_editions_opens_each(target: Path, open_page: Open) -> None:
    """With its days; and it can be read at 320 pixels, where only the table is moved sideways."""
    visit = open_page((target / "editions.html").as_uri(), viewport={"width": 320, "height": 640})
    assert "from 2026-03-09 to 2026-05-03" in visit.page.locator("table").inner_text()
    assert visit.page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    visit.page.get_by_role("link", name="Edition 1").click()
    arrived(visit, "editions/0001/index.html")


def test_pointers_work_without_script(target: Path, open_page: Open) -> None:
    """They are plain pages."""
    visit = open_page((target / "go/cyl-02.html").as_uri(), java_script_enabled=False)
    visit.page.wait_for_url("**/editions/0002/other.html")


@pytest.mark.parametrize("name", ["index.html", "editions.html", "go/cyl-01.html"])
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_in_the_way_of_any_reader(name: str, scheme: str, target: Path, open_page: Open, axe: Path) -> None:
    """axe finds nothing in the files beside the editions; a pointer that leads on is looked at before it does."""
    content = (target / name).read_text(encoding="utf-8")
    still = target.parent / f"still-{scheme}-{name.replace('/', '-')}"
    still.write_text(content.replace('http-equiv="refresh"', 'name="still"').replace("../", ""), encoding="utf-8")
    (target.parent / "editions.css").write_bytes((target / "editions.css").read_bytes())
    visit = open_page(still.as_uri(), color_scheme=scheme, bypass_csp=True)
    visit.page.add_script_tag(path=axe)
    rules = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
    ask = "rules => axe.run(document, {runOnly: rules}).then(told => told.violations)"
    assert [] == visit.page.evaluate(ask, rules)


@pytest.mark.parametrize("operation", [1, 12, 14, 15, 16, 18, 20, 21])
def test_after_a_kill_a_browser_opens_a_whole_edition(operation: int, tmp_path: Path, open_page: Open) -> None:
    """Whatever had been done: the pointer leads to the edition before, or to the new one, and its page is there."""
    starting_from(tmp_path, 2)
    in_a_process(partial(publish_next, tmp_path, MortalDisk(operation)))
    editions = assert_whole(tmp_path)
    visit = open_page((tmp_path / "index.html").as_uri())
    visit.page.wait_for_url(re.compile(r"/editions/\d{4}/index\.html$"))
    assert visit.page.title() in ("Edition 2", f"Edition {len(editions.editions)}")
    procedure = open_page((tmp_path / "go/cyl-01.html").as_uri())
    procedure.page.wait_for_url(re.compile(r"/editions/\d{4}/procedures/cyl-01\.html$"))
    assert procedure.page.title() in (
        "CYL-01 issue 1",
        f"CYL-01 issue {editions.editions[-1].procedures['CYL-01'].issue}",
    )
    publish_next(tmp_path, QuickDisk())
    assert_finished(tmp_path)
