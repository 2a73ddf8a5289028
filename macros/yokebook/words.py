"""The list of words: what each block of a page says, as it can be compared; the companion of the list of numbers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

HEAD = "head of the page"
"""The kind of block for what the head of a page says, before its text begins."""
DRAWING = "drawing"
FINDER = "row finder"
"""The kind of block for what finds a row of a table by a reading: it speaks only when a reader types one."""
COMPUTED_CELL = "computed cell"
COMPUTED = frozenset((COMPUTED_CELL, "computed head of a column or row"))
"""The kinds of blocks that a computed table is made of: they stand in the list of numbers too."""
FROM_CALL = "…"
"""What stands for the result of a call where only the author's own words matter."""


@dataclass(frozen=True)
class Block:
    """What a reader meets as one: a heading, a paragraph, a step, a cell.

    `parts` are texts by turns of the author and of calls, the author's first (it may be empty): a number within a
    sentence is told apart from the sentence. `links` are the addresses that it leads to, in order.
    """

    kind: str
    parts: tuple[str, ...]
    links: tuple[str, ...] = ()

    @property
    def text(self) -> str:
        """All of it, as it is read."""
        return "".join(self.parts)

    @property
    def own(self) -> str:
        """The author's own words, with a mark for each result of a call.

        >>> Block("paragraph", ("Change at ", "40 bar", ".")).own
        'Change at ….'
        """
        return FROM_CALL.join((*self.parts[::2], *([""] if len(self.parts) % 2 == 0 else [])))

    @property
    def is_computed(self) -> bool:
        """Whether nothing in it is the author's."""
        return len(self.parts) > 1 and not any(part.strip() for part in self.parts[::2])

    def as_plain(self) -> dict[str, Any]:
        """Return it as plain lists and texts."""
        return {"kind": self.kind, "parts": list(self.parts), **({"links": list(self.links)} if self.links else {})}


def block_of(plain: Mapping[str, Any]) -> Block:
    """Return the block that was written as plain lists and texts.

    Raises ValueError, TypeError or KeyError for what is none.
    """
    kind, parts, links = plain["kind"], plain["parts"], plain.get("links", [])
    if not isinstance(kind, str) or not _texts(parts) or not _texts(links):
        raise TypeError("a block of words has a kind, parts and links, all of them texts")
    return Block(kind, tuple(parts), tuple(links))


def _texts(values: Any) -> bool:
    return isinstance(values, Sequence) and not isinstance(values, str) and all(isinstance(v, str) for v in values)
