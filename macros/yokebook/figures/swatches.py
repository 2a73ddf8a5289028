"""The standards' colour marks as small swatches: a colour never stands without its word."""

from __future__ import annotations

from dataclasses import dataclass
from textwrap import wrap

# Shades of a screen, chosen to be told apart from each other; the standards' own shades were not read.
_SHADES = {
    "white": "#ffffff",
    "black": "#000000",
    "blue": "#1f5fbf",
    "grey": "#8c8c8c",
    "brown": "#7a4a21",
    "green": "#2e7d32",
    "yellow": "#f5d000",
}

_LINE = 35  # letters of 15 units in a drawing of 340


@dataclass(frozen=True)
class Swatch:
    """The colour words of a gas in one standard, and the gas that they belong to."""

    words: tuple[str, ...]
    gas: str
    standard: str

    @property
    def words_text(self) -> str:
        """The colours alone, in words."""
        return " and ".join(self.words)

    @property
    def text(self) -> str:
        """What stands beside the swatch.

        >>> Swatch(("white", "black"), "air", "ISO 32").text
        'white and black: air by ISO 32'
        """
        return f"{self.words_text}: {self.gas} by {self.standard}"

    @property
    def lines(self) -> tuple[str, ...]:
        """The same in lines that fit beside the swatch of a drawing."""
        return tuple(wrap(self.text, _LINE, break_on_hyphens=False))

    @property
    def shades(self) -> tuple[str, ...]:
        """The shades of the swatch, in the order of the words."""
        return tuple(_SHADES[word] for word in self.words)
