"""PDF of the finished pages with WeasyPrint, an optional part: one a procedure and one a card, and one of the whole.

The only module that knows WeasyPrint. It reads the pages as they were built, with their print style, and fetches
nothing but their own files.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from yokebook.errors import Level, Problem
from yokebook.pages.addresses import page_address
from yokebook.reference.layout import CONFIG
from yokebook.reference.whole import Reference
from yokebook.templates import folder as template_folder

if TYPE_CHECKING:
    from weasyprint import Document

FOLDER = "pdf"
WHOLE = "whole.pdf"
_FIRST = "index.md"
_SHEET = re.compile(r'<div class="yb-sheet">.*?</div>\s*</div>', re.DOTALL)
_BODY = re.compile(r"<body\b[^>]*>")
_ID = re.compile(r'(<[^<>]*? id=")')
_WITHIN = re.compile(r'(<a\b[^<>]*? href="#)')
_AWAY = re.compile(r'(<a\b[^<>]*?) href="(?!#)[^"]*"')
_FOLDED = re.compile(r"<details\b(?![^>]*\bopen\b)")


@dataclass(frozen=True)
class PdfPage:
    """A page to be made into PDF: its path below the edition, and the number of its procedure ("" for none)."""

    path: str
    procedure: str


class PdfLink(NamedTuple):
    """A way from a page to a PDF: its words, and where it leads from the edition's root."""

    words: str
    to: str


def why_not() -> Problem | None:
    """Return why no PDF can be made on this machine, None where it can."""
    try:
        import weasyprint  # noqa: F401  # only whether it is there
    except (ImportError, OSError) as error:
        return Problem(
            CONFIG,
            0,
            0,
            Level.ERROR,
            "E603",
            f"PDF is made by WeasyPrint, which does not start here ({error})",
            allowed="Yokebook with its optional part for PDF, and the system's library Pango; or a build without --pdf",
            example='pip install "yokebook[pdf]"',
        )
    return None


def pages_of(reference: Reference) -> list[PdfPage]:
    """Return the pages of a reference in the order of its whole: the first page, then by number, then what has none."""
    numbers = {path: worked.page.front.procedure or "" for path, worked in reference.pages.items()}
    paths = sorted(
        {*numbers, *reference.generated},
        key=lambda path: (path != _FIRST, not numbers.get(path), numbers.get(path, ""), path),
    )
    return [PdfPage(page_address(path), numbers.get(path, "")) for path in paths]


def links_of(path: str, procedure: str) -> tuple[PdfLink, ...]:
    """Return the ways from a page of the reference to the PDFs that `write_pdfs` makes of it.

    >>> [link.to for link in links_of("procedures/plug.md", "CYL-02")], links_of("editions.md", "")
    (['pdf/cyl-02.pdf'], ())
    """
    of_page = (PdfLink("This page as PDF", f"{FOLDER}/{_name_of(procedure)}"),) if procedure else ()
    return of_page + ((PdfLink("All pages as one PDF", f"{FOLDER}/{WHOLE}"),) if path == _FIRST else ())


def _name_of(procedure: str) -> str:
    return f"{procedure.lower()}.pdf"


def title_of(reference: Reference) -> str:
    """Return the title of the whole: the department, and which edition it is."""
    name = reference.department.settings.name if reference.department else ""
    number = reference.edition.number
    return f"{name}: {f'edition {number}' if number else 'DRAFT'}"


def write_pdfs(edition: Path, pages: Sequence[PdfPage], title: str, say: Callable[[str], None]) -> None:
    """Write the PDFs of an edition's finished pages into its folder `pdf/`; `say` is told of each page.

    `title` is that of the whole. The same pages give the same bytes.
    """
    folder = edition / FOLDER
    folder.mkdir()
    documents = []
    for page in pages:
        say(page.path)
        document = _rendered(edition, page)
        documents.append(document)
        if page.procedure:
            (folder / _name_of(page.procedure)).write_bytes(_as_bytes(document))
    if documents:
        first, *_ = documents
        whole = first.copy([sheet for document in documents for sheet in document.pages])
        whole.metadata.title = title
        (folder / WHOLE).write_bytes(_as_bytes(whole))


def prepared(html: str, name: str) -> str:
    """Return a page's HTML as PDF needs it: its foot before its text, nothing folded away, links within it alone.

    `name` keeps its anchors apart from those of other pages in one file.

    >>> prepared('<body><p id="a"><a href="#a">A</a> <a href="b.html#c">B</a></p></body>', "cyl-01")
    '<body><p id="cyl-01-a"><a href="#cyl-01-a">A</a> <a>B</a></p></body>'
    """
    html = _FOLDED.sub("<details open", _AWAY.sub(r"\1", html))
    html = _ID.sub(rf"\g<1>{name}-", _WITHIN.sub(rf"\g<1>{name}-", html))
    if sheet := _SHEET.search(html):
        html = html.replace(sheet[0], "", 1)
        html = _BODY.sub(lambda body: body[0] + sheet[0], html, count=1)
    return html


def _rendered(edition: Path, page: PdfPage) -> Document:
    from weasyprint import CSS, HTML
    from weasyprint.urls import URLFetcher

    file = edition / page.path
    html = prepared(file.read_text(encoding="utf-8"), re.sub(r"[^a-z0-9]+", "-", page.path.lower()))
    local = URLFetcher(allowed_protocols=["file", "data"])
    style = CSS(filename=template_folder() / "yokebook" / "pdf.css")
    return HTML(string=html, base_url=str(file), url_fetcher=local).render(stylesheets=[style])


def _as_bytes(document: Document) -> bytes:
    name = document.metadata.title or ""
    written: bytes = document.write_pdf(pdf_identifier=sha256(name.encode()).hexdigest().encode(), pdf_tags=True)
    return written
