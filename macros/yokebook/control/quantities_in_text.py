"""Numbers with their units within texts that readers read, and texts that are equal but for these."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from yokebook.units import SPELLINGS

_NUMBER = re.compile(r"[0-9]+(?:[.,:\u202f][0-9]+)*")
_AFTER = re.compile(r"\s*([^\s,;:.()]*)")
_MINUS = re.compile(r"(?:^|\s)([-−])$")
_GLUED = re.compile(r"[\w.,:+/-]$|−$")
# No text that a reader reads holds this sign.
_BLANK = "\0"


@dataclass(frozen=True)
class Found:
    """A number in a text, the unit behind it ("" where none stands there), and where both begin and end."""

    number: str
    unit: str
    begin: int
    end: int


def numbers_in(text: str) -> Iterator[Found]:
    """Yield each number in a text with the unit behind it.

    >>> [(found.number, found.unit) for found in numbers_in("stamped 4.68 L (size E), in 2 rows")]
    [('4.68', 'L'), ('2', '')]
    """
    for found in _NUMBER.finditer(text):
        after = _AFTER.match(text, found.end())
        unit = after[1] if after and after[1] in SPELLINGS else ""
        yield Found(found.group(), unit, found.start(), after.end() if after and unit else found.end())


def equal_but_for_quantities(text: str) -> str:
    """Return what is left of a text without its quantities, their units kept; a number without a unit is a name.

    >>> one, other = "Ventilator: up to 10.1 L/min", "Ventilator: up to 11 L/min"
    >>> equal_but_for_quantities(one) == equal_but_for_quantities(other)
    True
    >>> equal_but_for_quantities("137 bar") == equal_but_for_quantities("137 psi")
    False
    """
    pieces = _pieces(text)
    return "".join(_NUMBER.sub(_BLANK, piece).lstrip("-−") if at % 2 else piece for at, piece in enumerate(pieces))


def has_words_round_a_quantity(text: str) -> bool:
    """Return whether a text says what its quantity is of; one that is only a quantity is known by it.

    >>> [has_words_round_a_quantity(text) for text in ("Ventilator: up to 10.1 L/min", "10 min", "below 30")]
    [True, False, False]
    """
    pieces = _pieces(text)
    return len(pieces) > 1 and any(character.isalpha() for words in pieces[::2] for character in words)


def is_bare(text: str) -> bool:
    """Return whether a text is a number alone, whose unit stands elsewhere.

    >>> is_bare("1000"), is_bare("4.68"), is_bare("1000 psi"), is_bare("Change at")
    (True, True, False, False)
    """
    return bool(_NUMBER.fullmatch(text))


def from_to(old: str, new: str) -> str:
    """Return two texts that are equal but for quantities as one, each quantity that moved as old → new.

    >>> from_to("Mask: up to 6 L/min for 1 h 30 min", "Mask: up to 7 L/min for 1 h 30 min")
    'Mask: up to 6 L/min → 7 L/min for 1 h 30 min'
    """
    both = zip(_pieces(old), _pieces(new), strict=True)
    return "".join(was if was == now else f"{was} → {now}" for was, now in both)


def _pieces(text: str) -> list[str]:
    """Return a text as words and quantities by turns, words first; 1 h 30 min is one quantity.

    >>> _pieces("theatre-1 at -5 °C for 1 h 30 min")
    ['theatre-1 at ', '-5 °C', ' for ', '1 h 30 min', '']
    """
    spans: list[tuple[int, int]] = []
    for found in numbers_in(text):
        minus = _MINUS.search(text, 0, found.begin)
        begin = minus.start(1) if minus else found.begin
        if not found.unit or _GLUED.search(text, 0, begin):
            continue
        if spans and not text[spans[-1][1] : begin].strip():
            begin = spans.pop()[0]
        spans.append((begin, found.end))
    cuts = [0, *(cut for span in spans for cut in span), len(text)]
    return [text[begin:end] for begin, end in pairwise(cuts)]
