"""What defines a call: its name and family, its arguments, what works it out, and an example of its use."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from yokebook.calls.arguments import Arguments
from yokebook.calls.card_sheet import Card
from yokebook.calls.result import Figure, Table, Value
from yokebook.data.department import Department


@dataclass(frozen=True)
class Definition:
    """One call. Its name is that of the function that works it out, its family that function's module."""

    arguments: type[Arguments]
    work_out: Callable[[Any, Department], Table | Value | Figure | Card]
    example: str

    @property
    def name(self) -> str:
        """The word that an author writes."""
        return self.work_out.__name__

    @property
    def family(self) -> str:
        """The family, as the module is named."""
        return self.work_out.__module__.rsplit(".", 1)[-1]

    @property
    def summary(self) -> str:
        """What it gives, in one sentence."""
        return (self.work_out.__doc__ or "").split("\n")[0]
