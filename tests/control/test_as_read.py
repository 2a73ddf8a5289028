"""A page as it is read: kept in records and editions, and read back the same."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from changing_site import lay_out, read, write_lists
from yokebook.control.as_read import WORDS, PageAsRead, UnreadableError, from_json, read_edition
from yokebook.words import FINDER, HEAD


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return lay_out(tmp_path_factory.mktemp("fleet") / "site")


@pytest.fixture(scope="module")
def pages(site: Path) -> dict[str, PageAsRead]:
    return read(site)


def test_a_page_holds_what_a_reader_reads(pages: dict[str, PageAsRead]) -> None:
    """Head, words, numbers; neither workings nor nominal values."""
    page = pages["changing.md"]
    head = [block.text for block in page.words if block.kind == HEAD]
    assert ["Title: Changing a cylinder", "Procedure: CYL-01", "Owner: approver", "Machines: theatre-1"] == head
    assert ["change_at", "reserve_table"] == [call["name"] for call in page.calls]
    assert all("nominal" not in call and "working" not in call["texts"] for call in page.calls)
    assert "5 min" == page.calls[0]["inputs"]["department.change_time"]


def test_what_the_row_finder_may_say_stands_among_the_words(pages: dict[str, PageAsRead]) -> None:
    """An approval covers it, and no block of the page shows it; the label of a number no reader of the page meets."""
    page = pages["changing.md"]
    (told,) = [block.text for block in page.words if block.kind == FINDER]
    assert (
        "theatre-1, oxygen: the dial goes from 0 bar to 250 bar, a full cylinder comes to 160 bar at most"
        == told.replace("\u00a0", " ")
    )
    assert told == page.calls[1]["texts"]["finder"]
    label = page.calls[0]["texts"]["label"]
    assert label.startswith("The lowest reading from which one cylinder of oxygen still lasts 15")
    assert not any(label in block.text for block in page.words)


def test_a_page_comes_back_from_its_text(pages: dict[str, PageAsRead]) -> None:
    """The same page gives the same text, and the text gives the page back."""
    for page in pages.values():
        with_picture = replace(page, files={"yoke.png": "0" * 64})
        assert with_picture == from_json(with_picture.to_json())
        assert with_picture.to_json() == from_json(with_picture.to_json()).to_json()


def test_an_edition_gives_its_pages_back(site: Path, pages: dict[str, PageAsRead], tmp_path: Path) -> None:
    """Its lists of words and numbers hold all that a comparison needs."""
    assert pages == read_edition(write_lists(site, tmp_path / "0001"))


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"path": "a.md", "calls": [1]}', "null"])
def test_a_text_that_holds_no_page_is_refused(text: str) -> None:
    """In words, never as a traceback of whatever reads it."""
    with pytest.raises(UnreadableError, match=r"^this is no page as it was read"):
        from_json(text)


def test_a_damaged_edition_names_the_file(site: Path, tmp_path: Path) -> None:
    """The message says which file it is."""
    folder = write_lists(site, tmp_path / "0001")
    plain = json.loads((folder / WORDS / "words.json").read_text(encoding="utf-8"))
    del plain["words"]
    (folder / WORDS / "words.json").write_text(json.dumps(plain), encoding="utf-8")
    with pytest.raises(UnreadableError, match=r"words\.json: this is no page as it was read"):
        read_edition(folder)
