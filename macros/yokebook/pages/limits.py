"""How much a page may hold: what Markdown could not lay out in reasonable time is refused before it is tried."""

from __future__ import annotations

import re
from collections.abc import Iterator

from yokebook.errors import Level, Problem
from yokebook.pages.places import Places

LARGEST = 500_000
MOST_CALLS = 200
DEEPEST = 20
# Markdown's own work grows with the length of a piece of text times the signs in it that may begin something. Measured:
# 10 million for brackets take a second, for the other signs a fifth of that.
_MOST_WORK = 5_000_000
# A whole link costs little; a bracket without its partner is looked for to the end of the piece.
_BRACKETS = re.compile(r"\[(?![^\[\]\n]*\](?:\([^()<\n]*\)|(?!\()))")
_SIGNS = re.compile(r"[`#:{<\n]")
_UNCLOSED = re.compile(r"<(?![^<>]*>)")
_NESTED = re.compile(r"^(?:[ ]{4}|\t|[ ]*(?:>|[*+-][ \t]|[0-9]+\.[ \t]))*", re.MULTILINE)
_STEP_IN = re.compile(r"[ ]{4}|\t|>|[*+-][ \t]|[0-9]+\.[ \t]")


def too_large(content: bytes, file: str) -> Problem | None:
    """Return the problem of a file of more than `LARGEST` bytes."""
    if len(content) <= LARGEST:
        return None
    return Problem(
        file,
        0,
        0,
        Level.ERROR,
        "E567",
        f"this page holds {len(content)} bytes",
        allowed=f"a page of at most {LARGEST} bytes",
        example="several pages with links between them",
    )


def too_tangled(body: str, places: Places) -> Iterator[Problem]:
    """Yield the problem of the page's heaviest piece of text where Markdown could not lay the page out in a second."""
    weights = [(_weight(piece), -start, piece) for start, piece in _pieces(body)]
    work = sum(weight for weight, _, _ in weights) + len(body) * len(_UNCLOSED.findall(body))
    if work > _MOST_WORK:
        _, start, piece = max(weights)
        yield places.problem(
            -start,
            "E569",
            f"this piece of text, {len(piece)} characters up to the next empty line, has too many signs to be laid out",
            allowed="shorter pieces of text, with empty lines between them",
            example="First paragraph.\n\nSecond paragraph.",
        )
    for found in _NESTED.finditer(body):
        if len(_STEP_IN.findall(found.group())) > DEEPEST:
            yield places.problem(
                found.start(),
                "E569",
                f"lists and quotes stand more than {DEEPEST} deep in each other here",
                allowed="steps, and at most some sub-steps within them",
                example="1.  Step\n\n    - Part of the step",
            )
            return


def _pieces(body: str) -> Iterator[tuple[int, str]]:
    """Yield each piece of text between empty lines (of a quote, too), with its offset."""
    start = at = 0
    for line in [*body.split("\n"), ""]:
        if not line.strip(" \t>"):
            yield start, body[start:at]
            start = at + len(line) + 1
        at += len(line) + 1


def _weight(piece: str) -> int:
    return len(piece) * (len(_BRACKETS.findall(piece)) + len(_SIGNS.findall(piece)) // 5)
