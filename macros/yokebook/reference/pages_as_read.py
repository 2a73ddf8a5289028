"""The pages of a reference as they are read: what is approved, kept in editions, and compared."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from yokebook.calls.result import Result
from yokebook.control.as_read import PageAsRead, call_as_read
from yokebook.pages import words
from yokebook.pages.addresses import lead_to_pages
from yokebook.pages.front_matter import FrontMatter
from yokebook.reference.whole import Reference, WorkedPage
from yokebook.words import DRAWING, HEAD, LABEL, Block


def as_read(worked: WorkedPage) -> PageAsRead:
    """Return a page as it is read."""
    front = worked.page.front
    blocks = words.read(lead_to_pages(worked.rendering.html), worked.pieces)
    return PageAsRead(
        worked.page.path,
        front.procedure or "",
        front.title,
        (*_head(front), *blocks, *_unseen(worked.results, blocks)),
        tuple(call_as_read(result.numbers.as_plain()) for result in worked.results if result.numbers),
        worked.embedded,
    )


def all_as_read(reference: Reference) -> dict[str, PageAsRead]:
    """Return each page that an author wrote as it is read, by path."""
    return {path: as_read(worked) for path, worked in sorted(reference.pages.items())}


def lists_of_words(reference: Reference) -> Iterator[tuple[str, str]]:
    """Yield what an edition keeps of each page beside its numbers: its path below the folder of lists, and its text."""
    for path, page in all_as_read(reference).items():
        yield path.removesuffix(".md") + ".json", page.words_json()


def _head(front: FrontMatter) -> Iterator[Block]:
    """Yield what the front matter says to readers."""
    told = {
        "Title": front.title,
        "Procedure": front.procedure,
        "Owner": front.owner,
        "Machines": ", ".join(front.machines),
        "Also called": ", ".join(front.also_called),
        "Summary": front.summary,
    }
    for label, text in told.items():
        if text:
            yield Block(HEAD, (f"{label}: {text}",))


def _unseen(results: Sequence[Result], blocks: Sequence[Block]) -> Iterator[Block]:
    """Yield words of calls that an approval covers and that stand in no block of the page, such as a number's label."""
    seen = {block.text for block in blocks}
    drawn = [block.text for block in blocks if block.kind == DRAWING]
    for result in results:
        for text in _words_of(result.as_read):
            if text and text not in seen and not any(text in drawing for drawing in drawn):
                yield Block(LABEL, ("", text))


def _words_of(as_read: Mapping[str, Any]) -> Iterator[str]:
    """Yield the words of a call; its cells and their heads are numbers, and the rest of a table stands in blocks."""
    for key, value in as_read.items():
        if key == "heads":
            yield value[0]
        elif key not in ("rows", "caption", "condition", "cautions", "shown", "value"):
            yield from [value] if isinstance(value, str) else value
