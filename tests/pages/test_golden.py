"""Golden pages: Markdown beside the HTML that it becomes, with a mark where each call's own HTML stands."""

from __future__ import annotations

import re
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from bad_sites import GOOD
from demo_site import ROOT
from placed import placed_or_refused
from yokebook.pages.extensions import to_html
from yokebook.reference.whole import WorkedPage, work_out

GOLDEN = Path(__file__).parents[1] / "golden"
PAGES = sorted(GOLDEN.glob("*.md"))
DEMO = sorted((ROOT / "content" / "pages").rglob("*.md"))
_FENCED = re.compile(r"^(`{3,}|~{3,}).*?^\1", re.MULTILINE | re.DOTALL)


@pytest.fixture(scope="module")
def worked(tmp_path_factory: pytest.TempPathFactory) -> dict[str, WorkedPage]:
    """Return the golden pages, worked out with the data of the good base."""
    folder = tmp_path_factory.mktemp("golden")
    shutil.copytree(GOOD, folder, dirs_exist_ok=True)
    (folder / "content" / "pages").mkdir()
    for page in PAGES:
        shutil.copy(page, folder / "content" / "pages")
    reference = work_out(folder)
    assert not reference.problems.stops_the_build, list(reference.problems)
    return reference.pages


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_a_page_becomes_its_golden_html(page: Path, worked: dict[str, WorkedPage]) -> None:
    """To the letter, with what each call gives in exactly its place, and no braces left."""
    of_page = worked[page.name]
    marked = [
        replace(piece, html=f"<!-- {number}: {piece.written} -->", at_end="")
        for number, piece in enumerate(of_page.pieces, start=1)
    ]
    html, problems = placed_or_refused(to_html(of_page.page.text), marked, page.name)
    assert ([], page.with_suffix(".html").read_text(encoding="utf-8")) == (problems, html + "\n")
    assert "{{" not in html


def test_a_table_is_the_same_in_each_place(worked: dict[str, WorkedPage]) -> None:
    """At top level, in a quote within a step, in a step, in an admonition, in details: the same bytes."""
    of_page = worked["procedure.md"]
    tables = {piece.html for piece in of_page.pieces if piece.is_block}
    assert 1 == len(tables)
    html, _ = placed_or_refused(to_html(of_page.page.text), of_page.pieces, "procedure.md")
    assert 5 == html.count(tables.pop())


@pytest.mark.parametrize("page", [*PAGES, *DEMO], ids=lambda page: page.stem)
def test_the_numbers_before_steps_are_those_typed(page: Path) -> None:
    """In page order, each number that a reader sees is the one that the author typed, and none is missing."""
    _, _, body = page.read_text(encoding="utf-8").split("---\n", 2)
    typed = [int(number) for number in re.findall(r"^ *([0-9]+)\.[ ]", _FENCED.sub("", body), re.MULTILINE)]
    printed: list[int] = []
    lists: list[int | None] = []
    for closes, tag, start in re.findall(r'<(/?)(ol|ul|li)(?: start="([0-9]+)")?>', to_html(body)):
        if tag == "li" and not closes and (number := lists[-1]) is not None:
            printed.append(number)
            lists[-1] = number + 1
        elif tag != "li" and closes:
            lists.pop()
        elif tag != "li":
            lists.append(int(start or 1) if tag == "ol" else None)
    assert typed == printed
