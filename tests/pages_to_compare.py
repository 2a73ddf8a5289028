"""Pages and calls as they are read, made by hand, to be set side by side."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from yokebook.control.as_read import PageAsRead
from yokebook.words import Block


def page(*blocks: Block | str, calls: tuple[Mapping[str, Any], ...] = (), **told: Any) -> PageAsRead:
    """A page with these blocks; a text is a paragraph of its author's."""
    words = tuple(Block("paragraph", (block,)) if isinstance(block, str) else block for block in blocks)
    return PageAsRead("a.md", "CYL-01", "A page", words, calls, **told)


def table(rows: Mapping[str, list[str]], columns: list[str], **more: Any) -> dict[str, Any]:
    """A call that gives a table in minutes, by row."""
    shown = list(rows.values())
    return {
        "name": "reserve_table",
        "arguments": {"cylinder": "oxygen-e"},
        "rows": list(rows),
        "columns": columns,
        "shown": shown,
        "value": shown,
        "unit": "min",
        "rounding": "down",
        "keys": [],
        "inputs": {},
        "texts": {"caption": "How long", "corner": "Reading (bar)"},
    } | more


def inline(shown: str, **more: Any) -> dict[str, Any]:
    """A call that gives a number in a sentence."""
    texts = {"label": "Change at"}
    given: dict[str, Any] = {"name": "change_at", "arguments": {}, "unit": "bar", "rounding": "up", "texts": texts}
    return table({"Change at": [shown]}, ["value"], **(given | more))
