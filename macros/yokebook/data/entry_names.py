"""Names of the data's entries: which one a misspelt name meant, and never one that is merely alike."""

from __future__ import annotations

import re
from collections.abc import Iterable

from yokebook.data.fields import letters_wrong

# In a part of a name so long, so many letters may be wrong; a short one, or one with a digit, tells entries apart.
_SLIPS = ((8, 2), (4, 1))


def nearest_entry(name: str, names: Iterable[str]) -> str:
    """Return the entry that a name with a slip of the pen in it means, "" where none, or more than one, could be meant.

    What differs in a number, a size letter, a unit or a word is another entry, of another dial or another cylinder.

    >>> nearest_entry("oxigen-e", ["oxygen-d", "oxygen-e"]), nearest_entry("yoke_oxygen", ["yoke-oxygen"])
    ('oxygen-e', 'yoke-oxygen')
    >>> nearest_entry("theatre-2", ["theatre-1"]), nearest_entry("yoke-oxygen-bar", ["yoke-oxygen-psi"])
    ('', '')
    """
    meant = [other for other in names if _is_slip(_parts(name), _parts(other))]
    return meant[0] if len(meant) == 1 else ""


def _parts(name: str) -> list[str]:
    return re.findall("[a-z0-9]+", name.lower())


def _is_slip(written: list[str], right: list[str]) -> bool:
    if "".join(written) == "".join(right):
        return True
    return len(written) == len(right) and all(
        one == other or letters_wrong(one, other) <= _allowed(other) for one, other in zip(written, right, strict=True)
    )


def _allowed(part: str) -> int:
    return next((wrong for length, wrong in _SLIPS if len(part) >= length and part.isalpha()), 0)
