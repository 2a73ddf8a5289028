"""PDF of the finished pages: one a procedure, one of the whole, to be read by eye, by ear and by program."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
from datetime import date
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from approvals import TODAY, approve, small_department
from bench import found_or_left_out
from demo_site import ROOT, change, copy_demo, copy_unapproved_demo
from fake_editions import QuickDisk
from printed import sheets_of, tokens
from shared import made_once
from yokebook.control.target import Target
from yokebook.reference.assembling import assembled
from yokebook.reference.publishing import Order, publish
from yokebook.reference.start import start, starter
from yokebook.reference.verification import verify
from yokebook.site import pdf
from yokebook.site.build import build, build_edition
from yokebook.site.pdf import PdfPage, prepared, why_not, write_pdfs

pytestmark = [pytest.mark.slow, pytest.mark.xdist_group("pdf")]

PAGES = (
    PdfPage("cards/theatre-1-oxygen.html", "CARD-01"),
    PdfPage("index.html", ""),
    PdfPage("procedures/changing-a-cylinder.html", "CYL-01"),
    PdfPage("reference/theatre-1.html", "REF-01"),
)
TITLE = "Larkmoor Infirmary · all pages"


@pytest.fixture(scope="module")
def edition() -> Path:
    """A built demo with a web address, and the PDFs of some of its pages."""
    problem = why_not()
    found_or_left_out(None if problem else "there", "WeasyPrint with its libraries", problem.allowed if problem else "")
    return made_once("pdf", _make_edition) / "department/edition"


def _make_edition(shared: Path) -> None:
    folder = copy_unapproved_demo(shared / "department")
    address = "language: en\nbase_url: https://procedures.example/yokes\n"
    change(folder / "content/data/department.yaml", "language: en\n", address)
    built = folder / "edition"
    assert build_edition(assembled(folder), built) is None
    told: list[str] = []
    write_pdfs(built, PAGES, TITLE, told.append)
    assert [page.path for page in PAGES] == told


def test_there_is_one_pdf_a_procedure_and_one_a_card_and_one_of_the_whole(edition: Path) -> None:
    """Named by number; a page without a number stands in the whole alone."""
    names = sorted(path.name for path in (edition / "pdf").iterdir())
    assert ["card-01.pdf", "cyl-01.pdf", "ref-01.pdf", "whole.pdf"] == names


@pytest.mark.parametrize(("name", "title"), [("cyl-01", "Changing a cylinder on the yoke · CYL-01"), ("whole", TITLE)])
def test_a_pdf_says_its_title_and_its_language_and_is_tagged(edition: Path, name: str, title: str) -> None:
    """What a screen reader asks for (ISO 32000-1, 14.8 and 14.9), as pypdf reads it."""
    read = PdfReader(edition / f"pdf/{name}.pdf")
    catalog: Any = read.trailer["/Root"]
    assert read.metadata is not None
    assert str(read.metadata.title).startswith(title)
    assert "en" == catalog["/Lang"]
    assert catalog["/MarkInfo"]["/Marked"]
    assert read.metadata.creation_date is None


def test_the_whole_has_all_pages_with_their_bookmarks(edition: Path) -> None:
    """Each page's title is a bookmark, its headings below; its sheets are those of the single ones, in order."""
    whole = PdfReader(edition / "pdf/whole.pdf")
    single = sum(len(PdfReader(path).pages) for path in (edition / "pdf").glob("*-01.pdf"))
    assert single < len(whole.pages) <= single + 3
    titles = [mark["/Title"] for mark in whole.outline if not isinstance(mark, list)]
    assert titles[-2:] == ["Changing a cylinder on the yoke", "The theatre machine: reserves and dials"]


def test_each_sheet_says_which_copy_it_is_and_is_counted(edition: Path) -> None:
    """Number, draft, uncontrolled, and which sheet of how many; nothing off the paper."""
    sheets = sheets_of(edition / "pdf/cyl-01.pdf")
    for number, sheet in enumerate(sheets, start=1):
        assert "DRAFT: not approved, not for use. Printed copies are uncontrolled." in sheet.text
        assert "Number CYL-01 · issue none yet" in sheet.text
        assert f"Sheet {number} of {len(sheets)}" in sheet.text
        assert [] == sheet.off_the_paper


def test_every_cell_of_a_page_is_in_its_pdf(edition: Path) -> None:
    """The list of numbers of a page against the words of its PDF."""
    calls = json.loads((edition / "numbers/reference/theatre-1.json").read_text(encoding="utf-8"))["calls"]
    cells = [cell for call in calls if call["name"].endswith("_table") for row in call["shown"] for cell in row]
    assert len(cells) > 50
    printed = tokens(sheet.text for sheet in sheets_of(edition / "pdf/ref-01.pdf"))
    assert {} == dict(tokens(cells) - printed)


def test_a_card_is_one_sheet_of_its_size(edition: Path) -> None:
    """A6, upright."""
    (sheet,) = sheets_of(edition / "pdf/card-01.pdf")
    assert (105, 148) == (round(sheet.width_mm), round(sheet.height_mm))
    assert [] == sheet.off_the_paper
    assert "Not a controlled copy" in sheet.text


def test_no_address_of_this_machine_is_in_a_pdf(edition: Path) -> None:
    """Links that lead out of a page are words in its PDF: a path of the machine that built it helps nobody."""
    for path in (edition / "pdf").iterdir():
        read = PdfReader(path)
        addresses = [
            str(note.get_object()["/A"].get_object().get("/URI", ""))
            for page in read.pages
            for note in page.get("/Annots") or ()
            if "/A" in note.get_object()
        ]
        assert [] == [address for address in addresses if address]
        assert str(edition).encode() not in path.read_bytes()


def test_the_same_pages_give_the_same_bytes(edition: Path, tmp_path: Path) -> None:
    """Another process, another order of its sets and dictionaries: the same file."""
    before = {path.name: path.read_bytes() for path in (edition / "pdf").iterdir()}
    copied = tmp_path / "edition"
    subprocess.run(["cp", "-r", edition, copied], check=True)
    subprocess.run(["rm", "-r", copied / "pdf"], check=True)
    pages = ", ".join(f"PdfPage({page.path!r}, {page.procedure!r})" for page in PAGES)
    program = (
        "import sys; from pathlib import Path; from yokebook.site.pdf import PdfPage, write_pdfs; "
        f"write_pdfs(Path(sys.argv[1]), ({pages}), {TITLE!r}, lambda told: None)"
    )
    subprocess.run([sys.executable, "-c", program, copied], check=True, env={"PYTHONHASHSEED": "7"})
    assert before == {path.name: path.read_bytes() for path in (copied / "pdf").iterdir()}


def test_each_pdf_is_reached_from_its_page_and_from_no_paper(tmp_path: Path) -> None:
    """A procedure leads to its own, the first page to the whole, and nothing else to any; each way has its file."""
    found_or_left_out(None if why_not() else "there", "WeasyPrint with its libraries", "the optional part for PDF")
    folder = tmp_path / "department"
    start(folder)
    built = tmp_path / "site"
    assert build(assembled(folder), built, lambda told: None) is None
    edition = built / "editions/draft"
    ways = ways_to_pdf(edition)
    assert {
        "index.html": [("pdf/whole.pdf", "All pages as one PDF")],
        "procedures/reading-the-gauge.html": [("../pdf/cyl-01.pdf", "This page as PDF")],
    } == ways
    reached = {(edition / page).parent.joinpath(to).resolve() for page, links in ways.items() for to, _ in links}
    assert set((edition / "pdf").iterdir()) == reached
    for path in (edition / "pdf").iterdir():
        assert "as PDF" not in "".join(sheet.text for sheet in sheets_of(path))


def test_where_no_pdf_is_made_no_page_leads_to_one(tmp_path: Path) -> None:
    """No dead link."""
    folder = tmp_path / "department"
    start(folder)
    assert build(assembled(folder), tmp_path / "site") is None
    assert {} == ways_to_pdf(tmp_path / "site/editions/draft")


def test_a_published_edition_holds_its_pdfs_and_the_ways_to_them(tmp_path: Path) -> None:
    """Each is in the manifest, and what looks a target over finds nothing wrong."""
    found_or_left_out(None if why_not() else "there", "WeasyPrint with its libraries", "the optional part for PDF")
    site = small_department(tmp_path / "department")
    shutil.copyfile(starter() / "mkdocs.yml", site / "mkdocs.yml")
    (site / "content/pages/index.md").write_text("---\ntitle: Start\n---\n\n# Start\n", encoding="utf-8")
    (site / "content/pages/page.md").unlink()
    (site / "content/pages/yoke.png").unlink()
    approve(site, "CYL-02")
    target = Target(tmp_path / "target", QuickDisk())
    order = Order(site, site / "site", target, date(2026, 3, 9), TODAY, "a@b", lambda _: None)
    outcome = publish(order, partial(build_edition, with_pdf=lambda _: None))
    assert [] == list(outcome.problems)
    edition = target.root / "editions/0001"
    assert ["index.html", "other.html"] == list(ways_to_pdf(edition))
    manifest = (edition / "MANIFEST.sha256").read_text(encoding="utf-8")
    assert ["pdf/cyl-02.pdf", "pdf/whole.pdf"] == re.findall(r"pdf/\S+", manifest)
    assert [] == verify(target, site)


def ways_to_pdf(edition: Path) -> dict[str, list[tuple[str, str]]]:
    """Return each link to a PDF, and its words, by the page on which it stands."""
    pages = {path.relative_to(edition).as_posix(): path.read_text(encoding="utf-8") for path in edition.rglob("*.html")}
    found = {name: re.findall(r'<a href="([^"]*\.pdf)">([^<]*)</a>', html) for name, html in sorted(pages.items())}
    return {name: links for name, links in found.items() if links}


def test_anchors_of_two_pages_are_told_apart() -> None:
    """Both pages have a heading `steps`: in one file each link leads to its own."""
    html = '<body class="b"><h2 id="steps">Steps</h2><a href="#steps">Go</a></body>'
    assert '<a href="#cyl-01-steps">' in prepared(html, "cyl-01")
    assert 'id="cyl-02-steps"' in prepared(html, "cyl-02")


def test_where_the_part_for_pdf_is_missing_a_message_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    """No traceback: what is missing, and how to have it."""
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    problem = pdf.why_not()
    assert problem is not None
    assert "E603" == problem.code
    assert problem.wrong.startswith("PDF is made by WeasyPrint, which does not start here (")
    assert 'pip install "yokebook[pdf]"' == problem.example


def test_a_build_with_pdf_stops_before_it_begins_where_none_can_be_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Half of what was asked for is not put in the place of the old site."""
    monkeypatch.setitem(sys.modules, "weasyprint", None)
    problem = build(assembled(copy_demo(tmp_path / "department")), tmp_path / "site", lambda told: None)
    assert problem is not None
    assert "E603" == problem.code
    assert not (tmp_path / "site").exists()


def test_the_whole_begins_with_the_first_page_and_goes_by_number() -> None:
    """As somebody would put the sheets into a folder; pages without a number come last."""
    pages = pdf.pages_of(assembled(ROOT))
    numbers = [page.procedure for page in pages]
    assert ("index.html", "") == (pages[0].path, numbers[0])
    numbered = [number for number in numbers if number]
    assert sorted(numbered) == numbered
    assert numbered == numbers[1 : len(numbered) + 1]
