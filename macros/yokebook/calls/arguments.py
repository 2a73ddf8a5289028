"""The base of all arguments of calls: an entry like those of the data, told in a call's words."""

from __future__ import annotations

from typing import ClassVar

from yokebook.data.entry import Entry


class Arguments(Entry):
    """The arguments of one call."""

    part: ClassVar[str] = "argument"
