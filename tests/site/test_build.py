"""Building the site: what comes out, and that a build that fails leaves the old site whole."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from demo_site import ROOT, change, copy_demo
from full_disk import FULL, no_room
from shared import made_once
from site_contents import content_of
from yokebook.reference.assembling import assembled
from yokebook.site import pdf
from yokebook.site.build import build as build_draft
from yokebook.site.build import build_edition


def build(folder: Path, **environment: str) -> subprocess.CompletedProcess[str]:
    """Build a department as its own process."""
    return subprocess.run(
        [sys.executable, "-m", "yokebook", "build"],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
        encoding="utf-8",
        env={**os.environ, **environment},
    )


@pytest.fixture(scope="module")
def site() -> Path:
    """The built demo, only read."""
    return made_once("built", _make_site) / "department/site"


def _make_site(shared: Path) -> None:
    folder = copy_demo(shared / "department")
    result = build(folder)
    assert 0 == result.returncode, result.stdout + result.stderr
    assert result.stdout.endswith(f"Built. Open {folder / 'site' / 'index.html'} in a browser.\n")


class Tables(HTMLParser):
    """Gathers the cells of each table of numbers that has a caption, those of workings left out."""

    def __init__(self) -> None:
        super().__init__()
        self.tables: list[list[str]] = []
        self.in_numbers = self.has_caption = self.in_cell = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "table":
            self.in_numbers, self.has_caption = "yb-numbers" in (dict(attrs).get("class") or "").split(), False
        elif tag == "caption" and self.in_numbers:
            self.has_caption = True
            self.tables.append([])
        elif tag == "td":
            self.in_cell = self.has_caption
            if self.in_cell:
                self.tables[-1].append("")

    def handle_endtag(self, tag: str) -> None:
        if tag == "td":
            self.in_cell = False
        elif tag == "table":
            self.has_caption = False

    def handle_data(self, data: str) -> None:
        if self.in_cell:
            self.tables[-1][-1] += data


def rows_of(call: dict[str, Any]) -> list[list[str]]:
    """Return the rows of a call as its page shows them; a card's are listed by use: so each column has one unit."""
    shown: list[list[str]] = call["shown"]
    return [list(row) for row in zip(*shown, strict=True)] if call["name"] == "machine_card" else shown


def test_every_page_shows_what_its_list_of_numbers_says(site: Path) -> None:
    """Each cell of each table stands in the list, in the same order, and the other way round; on every page."""
    seen = 0
    pages = site / "editions" / "draft"
    for path in sorted((pages / "numbers").rglob("*.json")):
        calls = json.loads(path.read_text(encoding="utf-8"))["calls"]
        listed = [[cell for row in rows_of(call) for cell in row] for call in calls if "caption" in call["texts"]]
        reader = Tables()
        reader.feed((pages / path.relative_to(pages / "numbers").with_suffix(".html")).read_text(encoding="utf-8"))
        assert listed == reader.tables, path
        seen += len(listed)
    assert seen > 20


def test_a_build_is_laid_out_as_what_is_published(site: Path) -> None:
    """The start and each procedure's pointer lead into the one draft; the list of editions is an empty stub."""
    names = content_of(site)
    assert b"url=editions/draft/index.html" in names["index.html"]
    assert b"url=../editions/draft/procedures/plugging-an-empty-yoke.html" in names["go/cyl-02.html"]
    assert b'"current": null, "editions": []' in names["editions.js"]
    assert {"go", "editions", "index.html", "editions.html", "editions.css", "editions.js"} == {
        path.name for path in site.iterdir()
    }
    assert ["draft"] == [path.name for path in (site / "editions").iterdir()]


def test_a_draft_has_the_numbers_of_its_pages_and_keeps_no_words(site: Path) -> None:
    """What moved is told from editions, which keep both; the words of a draft are read from its pages."""
    draft = site / "editions" / "draft"
    assert (draft / "numbers" / "reference" / "theatre-1.json").is_file()
    assert not (draft / "words").exists()


def test_no_call_and_no_token_is_left(site: Path) -> None:
    """Every call has given way to its result; braces that a reader is to see in code stand as entities."""
    for name, content in content_of(site).items():
        if name.endswith((".html", ".json")):
            assert b"yokebookcall" not in content, name
        if name.endswith(".html"):
            assert b"{{" not in content, name


def test_the_departments_own_files_stay_at_home(site: Path) -> None:
    """No byte of the data and no record of control reaches the output."""
    names = content_of(site)
    assert not [name for name in names if name.endswith((".yaml", ".yml", ".md"))]
    kept_home = "Nothing in this folder is published"
    assert kept_home in (ROOT / "content/data/department.yaml").read_text(encoding="utf-8")
    assert not [name for name, content in names.items() if kept_home.encode() in content]


def test_nothing_dated_or_for_a_web_root_alone_is_made(site: Path) -> None:
    """No sitemap and no page for links that lead nowhere."""
    assert not {"sitemap.xml", "sitemap.xml.gz", "404.html"} & {name.rpartition("/")[2] for name in content_of(site)}


def test_a_mistake_leaves_the_old_site_whole(tmp_path: Path) -> None:
    """An error in the data stops the build before anything is written."""
    folder = copy_demo(tmp_path / "department")
    build(folder)
    before = content_of(folder / "site")
    change(folder / "content/data/department.yaml", "keep_back: 10 bar", "keep_back: ten bar")
    result = build(folder)
    assert 1 == result.returncode
    assert result.stdout.endswith("Nothing was built; the site that was there is as it was.\n")
    assert before == content_of(folder / "site")


def test_a_host_that_fails_leaves_the_old_site_whole(tmp_path: Path) -> None:
    """A page in the navigation that is not there: the host's own words are told, and nothing is swapped in."""
    folder = copy_demo(tmp_path / "department")
    build(folder)
    before = content_of(folder / "site")
    config = folder / "mkdocs.yml"
    config.write_text(config.read_text(encoding="utf-8") + "nav:\n  - index.md\n  - nowhere.md\n", encoding="utf-8")
    result = build(folder)
    assert 1 == result.returncode
    assert "E601, site not built" in result.stdout
    assert "'nowhere.md'" in result.stdout
    assert "Traceback" not in result.stdout + result.stderr
    assert before == content_of(folder / "site")


def test_the_same_department_gives_the_same_bytes(tmp_path: Path, site: Path) -> None:
    """In another folder, on another day, with files of another age, in another time zone and with another hash seed."""
    folder = copy_demo(tmp_path / "elsewhere" / "deep" / "department")
    for number, path in enumerate(sorted(folder.rglob("*.*"))):
        os.utime(path, (1_000_000_000 + number, 1_000_000_000 + number))
    result = build(folder, TZ="Pacific/Auckland", PYTHONHASHSEED="4711", LC_ALL="C", SOURCE_DATE_EPOCH="2000000000")
    assert 0 == result.returncode, result.stdout + result.stderr
    assert content_of(site) == content_of(folder / "site")


def test_the_host_itself_refuses_a_department_with_mistakes(tmp_path: Path) -> None:
    """Who runs mkdocs by hand gets the same report, and no site."""
    folder = copy_demo(tmp_path / "department")
    with (folder / "content/pages/index.md").open("a", encoding="utf-8") as page:
        page.write("\n{{ department.keepback }}\n")
    result = subprocess.run(
        [sys.executable, "-m", "mkdocs", "build", "--strict"],
        cwd=folder,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "NO_MKDOCS_2_WARNING": "1"},
        encoding="utf-8",
    )
    assert 0 != result.returncode
    assert "error E521, name that leads nowhere" in result.stdout + result.stderr
    assert not (folder / "site").exists()


def test_without_the_plugin_nothing_is_built(tmp_path: Path) -> None:
    """A configuration that lost its line for the plugin would show calls as text."""
    folder = copy_demo(tmp_path / "department")
    change(folder / "mkdocs.yml", "  - yokebook\n", "")
    result = build(folder)
    assert 1 == result.returncode
    assert "the list of plugins has no line - yokebook" in result.stdout
    assert not (folder / "site").exists()


@pytest.mark.parametrize("into", ["content", "content/pages", ".", "mkdocs.yml", "thesis", "published"])
def test_a_draft_never_takes_the_place_of_anything_but_a_draft(into: str, tmp_path: Path) -> None:
    """The department's own folders, somebody's work, what is published: told, and left byte for byte."""
    folder = copy_demo(tmp_path / "department")
    (folder / "thesis").mkdir()
    (folder / "thesis" / "thesis.txt").write_text("years of work", encoding="utf-8")
    (folder / "published" / "editions" / "0001").mkdir(parents=True)
    reference = assembled(folder)  # it may learn, and keep what it learnt
    before = content_of(folder)
    problem = build_draft(reference, folder / into)
    assert problem is not None
    assert "E610" == problem.code
    assert before == content_of(folder)


def test_a_draft_takes_the_place_of_a_draft(tmp_path: Path) -> None:
    """A second build into the same folder, and into an empty one, is what build is for."""
    reference = assembled(copy_demo(tmp_path / "department"))
    (tmp_path / "empty").mkdir()
    for into in ("new", "new", "empty"):
        assert build_draft(reference, tmp_path / into) is None


def test_a_draft_is_not_built_below_a_file(tmp_path: Path) -> None:
    """Said of the folder that was asked for and of the file in its way, without a trace."""
    folder = copy_demo(tmp_path / "department")
    (folder / "note.txt").write_text("ours", encoding="utf-8")
    result = subprocess.run(
        [sys.executable, "-m", "yokebook", "build", "--into", "note.txt/draft"],
        cwd=folder, capture_output=True, text=True, check=False, encoding="utf-8",
    )  # fmt: skip
    assert (1, "") == (result.returncode, result.stderr)
    expected = f"""\
{folder}/note.txt/draft: error E613, folder that refuses
  Wrong:         {folder}/note.txt is a file, and a folder has to be in its place
  Allowed:       the file renamed or moved, or another folder; then run it again
  Example:       yokebook build --into draft
"""
    assert expected in result.stdout
    assert result.stdout.endswith("Nothing was built; the site that was there is as it was.\n")


@pytest.mark.parametrize(
    "at", ["yokebook.files.os.fsync", "yokebook.site.plugin.search.index_of", "pathlib.Path.rename"]
)
def test_a_full_disk_leaves_the_old_draft_whole(at: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whether it fills up below the host, beside the pages, or where the new draft takes the place of the old one."""
    reference = assembled(copy_demo(tmp_path / "department"))
    into = tmp_path / "draft"
    into.mkdir()
    monkeypatch.setattr(at, no_room)
    problem = build_draft(reference, into)
    monkeypatch.undo()
    assert problem is not None
    assert ("E613", into.as_posix()) == (problem.code, problem.file)
    assert "the disk did not let the program write this (No space left on device)" == problem.wrong
    assert [] == list(into.iterdir())


def test_a_second_rename_that_is_refused_puts_the_old_draft_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nobody finds a folder without a draft where there was one."""
    reference = assembled(copy_demo(tmp_path / "department"))
    into = tmp_path / "draft"
    assert build_draft(reference, into) is None
    before, rename = content_of(into), Path.rename

    def refused(self: Path, target: Path) -> Path:
        if self.name.endswith(".partial"):
            no_room()
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", refused)
    problem = build_draft(reference, into)
    assert problem is not None
    assert "E613" == problem.code
    assert before == content_of(into)


@pytest.mark.parametrize(
    ("error", "code", "words"),
    [
        (FULL, "E613", "(No space left on device)"),
        (ValueError("a font"), "E601", "the program failed (ValueError: a font); this is no mistake of yours"),
    ],
)
def test_pdfs_that_fail_leave_no_draft_and_no_trace(
    error: Exception, code: str, words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The disk's refusal is told as such; whatever else it is, as the program's own fault."""

    def fail(*_: object) -> None:
        raise error

    monkeypatch.setattr(pdf, "why_not", lambda: None)
    monkeypatch.setattr(pdf, "write_pdfs", fail)
    reference = assembled(copy_demo(tmp_path / "department"))
    for problem in (
        build_draft(reference, tmp_path / "draft", with_pdf=lambda _: None),
        build_edition(reference, tmp_path / "edition", with_pdf=lambda _: None),
    ):
        assert problem is not None
        assert (code, True) == (problem.code, words in problem.wrong)
    assert not (tmp_path / "draft").exists()
