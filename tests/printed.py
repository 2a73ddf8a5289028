"""What stands on the sheets of a PDF, word by word with its place, as poppler reads it; and printing with a browser."""

from __future__ import annotations

import re
import subprocess
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from unicodedata import normalize
from xml.etree import ElementTree

from playwright.sync_api import Page

from bench import program

SIZES_MM = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4), "A5": (148.0, 210.0), "A6": (105.0, 148.0)}
"""Widths and heights of sheets (ISO 216; Letter: ANSI/ASME Y14.1)."""
MM_PER_PT = 25.4 / 72
_CENTIMETRES = 2.54
"""Playwright 1.64 hands Firefox inches, and Firefox takes them for centimetres (WebDriver BiDi)."""
_IN_PRINT = "document.body.innerText"
# Letters within drawings stand where they stand: a reader of PDF joins neighbours.
_IN_DRAWINGS = "[...document.querySelectorAll('svg text')].map(each => each.textContent)"
# A word so long may have been broken to fit: its pieces then follow one another.
_LONG = 5
_TOKEN = re.compile(r"[^\W_]+")


@dataclass(frozen=True)
class Word:
    """A word on a sheet, with the box that it fills [mm from the upper left corner]."""

    text: str
    left_mm: float
    top_mm: float
    right_mm: float
    bottom_mm: float


@dataclass(frozen=True)
class PrintedSheet:
    """One sheet of paper."""

    width_mm: float
    height_mm: float
    words: tuple[Word, ...]

    @property
    def text(self) -> str:
        """All words, in the order in which they were printed."""
        return " ".join(word.text for word in self.words)

    @property
    def off_the_paper(self) -> list[str]:
        """The words that are not wholly on the paper."""
        return [
            word.text
            for word in self.words
            if min(word.left_mm, word.top_mm) < 0 or word.right_mm > self.width_mm or word.bottom_mm > self.height_mm
        ]


def sheets_of(pdf: Path) -> list[PrintedSheet]:
    """Return what stands on each sheet of a PDF."""
    command = [program("pdftotext", "poppler-utils"), "-bbox", str(pdf), "-"]
    told = subprocess.run(command, capture_output=True, check=True).stdout.decode("utf-8")
    told = re.sub(r"[\x00-\x08\x0b\x0c\x0e-\x1f]", "", told)
    space = "{http://www.w3.org/1999/xhtml}"
    return [_sheet(page, space) for page in ElementTree.fromstring(told).iter(f"{space}page")]


def _sheet(page: ElementTree.Element, space: str) -> PrintedSheet:
    words = tuple(
        Word(
            normalize("NFKC", word.text or ""),
            *(float(word.attrib[side]) * MM_PER_PT for side in ("xMin", "yMin", "xMax", "yMax")),
        )
        for word in page.iter(f"{space}word")
    )
    return PrintedSheet(float(page.attrib["width"]) * MM_PER_PT, float(page.attrib["height"]) * MM_PER_PT, words)


def tokens(texts: Iterable[str]) -> Counter[str]:
    """Return how often each run of letters and digits stands in some texts, however their lines are broken."""
    return Counter(token for text in texts for token in _TOKEN.findall(normalize("NFKC", text)))


def print_page(page: Page, into: Path, size: str) -> list[PrintedSheet]:
    """Print an open page on sheets of one size, as its browser does, and return what stands on them."""
    width_mm, height_mm = SIZES_MM[size]
    name = page.context.browser.browser_type.name if page.context.browser else ""
    factor = _CENTIMETRES if name == "firefox" else 1.0
    page.pdf(path=into, width=f"{width_mm * factor}mm", height=f"{height_mm * factor}mm")
    sheets = sheets_of(into)
    for sheet in sheets:
        assert abs(sheet.width_mm - width_mm) < 1, "the browser took another size of paper"
    return sheets


def missing_words(page: Page, sheets: list[PrintedSheet]) -> dict[str, int]:
    """Return the words that a page shows in print, and its sheets do not have so often."""
    page.emulate_media(media="print")
    shown = tokens([page.evaluate(_IN_PRINT)]) - tokens(page.evaluate(_IN_DRAWINGS))
    unspaced = "".join(word.text for sheet in sheets for word in sheet.words)
    fewer = shown - tokens(sheet.text for sheet in sheets)
    return {word: count for word, count in fewer.items() if len(word) < _LONG or unspaced.count(word) < shown[word]}
