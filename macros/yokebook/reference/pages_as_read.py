"""The pages of a reference as they are read: what is approved, kept in editions, and compared."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from yokebook.calls.result import Result
from yokebook.control.as_read import PageAsRead, call_as_read
from yokebook.pages import words
from yokebook.pages.addresses import lead_to_pages
from yokebook.pages.front_matter import FrontMatter
from yokebook.reference.whole import Reference, WorkedPage
from yokebook.words import FINDER, HEAD, Block


def as_read(worked: WorkedPage) -> PageAsRead:
    """Return a page as it is read."""
    front = worked.page.front
    blocks = words.read(lead_to_pages(worked.rendering.html), worked.pieces)
    return PageAsRead(
        worked.page.path,
        front.procedure or "",
        front.title,
        (*_head(front), *blocks, *_finders(worked.results)),
        tuple(call_as_read(result.numbers.as_plain()) for result in worked.results if result.numbers),
        worked.files,
        worked.withdrawal,
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


def _finders(results: Sequence[Result]) -> Iterator[Block]:
    """Yield what the row finders may say: no block of the page shows it."""
    for result in results:
        if "finder" in result.as_read:
            yield Block(FINDER, ("", result.as_read["finder"]))
