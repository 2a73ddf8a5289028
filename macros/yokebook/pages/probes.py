"""Asks Markdown what it makes of a place in an author's text: a word is set there, and looked for in the HTML."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from yokebook.errors import Problem
from yokebook.pages.extensions import to_html
from yokebook.pages.rendered import Spot, read_html
from yokebook.pages.scanner import Scanned
from yokebook.pages.tokens import PROBE, token


@dataclass(frozen=True)
class Probe:
    """A piece of the text by its offsets, given way to a word; an empty piece has the word set before what follows."""

    start: int
    end: int


Suspicion = tuple[Probe, Callable[[Spot], Problem | None]]
"""What asks Markdown about a place that looks wrong, and what is wrong there by its answer; None for nothing."""


def unless_unread(probe: Probe, problem: Problem) -> Suspicion:
    """Return the suspicion of a problem that is one wherever a reader reads the text."""
    return probe, lambda spot: None if spot.is_unread else problem


def ask(body: str, scanned: Scanned, probes: Sequence[Probe]) -> list[Spot]:
    """Return where each piece of a page's body comes to stand in its HTML; without pieces nothing is rendered.

    The pieces overlap neither each other nor a call.
    """
    if not probes:
        return []
    calls = [span for span in scanned.spans if span.what == "call"]
    edits = [(span.start, span.end, token(number)) for number, span in enumerate(calls)]
    edits += [
        (probe.start, probe.end, token(number, PROBE) + ("" if probe.end > probe.start else " "))
        for number, probe in enumerate(probes)
    ]
    rendered = read_html(to_html(_edited(body, edits)))
    return [rendered.spot(token(number, PROBE)) for number in range(len(probes))]


def _edited(text: str, edits: Iterable[tuple[int, int, str]]) -> str:
    pieces: list[str] = []
    at = 0
    for start, end, instead in sorted(edits):
        pieces += [text[at:start], instead]
        at = end
    return "".join([*pieces, text[at:]])
