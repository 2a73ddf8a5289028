"""Places in an author's text: from an offset to the line and column that a problem names."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from functools import cached_property

from yokebook.errors import Level, Problem


@dataclass(frozen=True)
class Places:
    """A text with LF line ends that starts at line `first_line` of a file."""

    file: str
    text: str
    first_line: int

    @cached_property
    def _starts(self) -> list[int]:
        starts = [0]
        for line in self.text.split("\n"):
            starts.append(starts[-1] + len(line) + 1)
        return starts[:-1]

    def of(self, offset: int) -> tuple[int, int]:
        """Return line and column, both from 1, of an offset in the text."""
        line = bisect_right(self._starts, offset) - 1
        return self.first_line + line, offset - self._starts[line] + 1

    def problem(
        self,
        offset: int,
        code: str,
        wrong: str,
        *,
        written: str = "",
        allowed: str = "",
        example: str = "",
        suggestion: str = "",
    ) -> Problem:
        """Return an error at an offset."""
        line, column = self.of(offset)
        return Problem(self.file, line, column, Level.ERROR, code, wrong, written, allowed, example, suggestion)
