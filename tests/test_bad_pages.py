"""Each mistake in a page: a folder each, with the whole report that the department gets."""

from __future__ import annotations

from pathlib import Path

import pytest

from bad_sites import BAD, folders, lay_out
from yokebook.reference import report
from yokebook.reference.whole import work_out


@pytest.mark.parametrize("mistake", folders("E5", "E790", "E795", "E797"), ids=lambda folder: folder.name)
def test_a_mistake_in_a_page_gives_its_report(mistake: Path, tmp_path: Path) -> None:
    """The report is the one that lies beside the mistake, to the letter, and it stops the build."""
    reference = work_out(lay_out(mistake, tmp_path / "site"))
    assert (mistake / "expected.txt").read_text(encoding="utf-8") == report.as_text(
        reference.problems, reference.lines_of
    )
    assert reference.problems.stops_the_build


SEVEN = {
    "one.md": "Text.\n\n{{ department.keepback }} and {{ a + b }}\n",
    "two.md": "1.  Close.\n\n  Bleed.\n",
    "three.md": "Wait 30 min, see [the steps](one.md#steps).\n",
    "four.md": '{{ reserve_table(cylinder="oxigen-e", machine="theatre-1", uses=["bellows"]) }}\n',
    "five.md": "# Change at {{ department.keep_back }}\n",
}


def test_seven_faults_on_five_pages_are_told_in_one_run(tmp_path: Path) -> None:
    """Seven reports, once each, from the top of each file to its end; run again, the same."""
    folder = lay_out(BAD / "E520_unknown_call", tmp_path / "site")
    (folder / "content/pages/page.md").unlink()
    for name, text in SEVEN.items():
        (folder / "content/pages" / name).write_text(f"---\ntitle: A\n---\n{text}", encoding="utf-8")
    told = [(p.file.rsplit("/", 1)[1], p.line, p.column, p.code) for p in work_out(folder).problems]
    assert [
        ("five.md", 4, 16, "E509"),
        ("four.md", 4, 27, "E521"),
        ("one.md", 6, 15, "E521"),
        ("one.md", 6, 36, "E501"),
        ("three.md", 4, 6, "E562"),
        ("three.md", 4, 30, "E564"),
        ("two.md", 6, 3, "E561"),
    ] == told
    assert told == [(p.file.rsplit("/", 1)[1], p.line, p.column, p.code) for p in work_out(folder).problems]


def test_a_page_is_checked_whole_though_its_front_matter_and_a_call_are_broken(tmp_path: Path) -> None:
    """One bad part never hides the next, and broken data don't hide a page's own faults."""
    folder = lay_out(BAD / "E520_unknown_call", tmp_path / "site")
    text = "---\nowner: nobody\n---\n{{ a + b }} for 30 min, see [x](y.md)\n\n# {{ department.keep_back }}\n"
    (folder / "content/pages/page.md").write_text(text, encoding="utf-8")
    assert ["E202", "E501", "E562", "E563", "E509"] == [problem.code for problem in work_out(folder).problems]
    (folder / "content/data/department.yaml").write_text("name: [", encoding="utf-8")
    pages = [problem for problem in work_out(folder).problems if problem.file.endswith("page.md")]
    assert ["E202", "E501", "E562", "E563", "E509"] == [problem.code for problem in pages]


def test_a_file_that_a_page_uses_goes_into_the_digest(tmp_path: Path) -> None:
    """The digest falls when a picture or a file that is linked to changes, and stays when one that nobody uses does."""
    folder = lay_out(BAD / "E520_unknown_call", tmp_path / "site")
    pages = folder / "content/pages"
    (pages / "page.md").write_text("---\ntitle: A\n---\n![yoke](yoke.png) [poster](poster.pdf)\n", encoding="utf-8")
    (pages / "yoke.png").write_bytes(b"one")
    (pages / "poster.pdf").write_bytes(b"one")
    first = work_out(folder).pages["page.md"].digest
    (pages / "other.pdf").write_bytes(b"two")
    assert first == work_out(folder).pages["page.md"].digest
    for name in ("yoke.png", "poster.pdf"):
        (pages / name).write_bytes(b"two")
        second = work_out(folder).pages["page.md"].digest
        assert (first.page, first.calls) == (second.page, second.calls)
        assert first.files != second.files
        assert first.whole != second.whole
        first = second
