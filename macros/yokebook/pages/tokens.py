"""Words that stand in for something while Markdown runs: letters only, so that it leaves them alone."""

from __future__ import annotations

import re

CALL = "yokebookcall"
PROBE = "yokebookprobe"
ANY = re.compile(rf"(?:{CALL}|{PROBE})[a-z]{{4}}q")
RESERVED = re.compile(f"{CALL}|{PROBE}")


def token(number: int, word: str = CALL) -> str:
    """Return the n-th token of a page (from 0).

    >>> token(0), token(27)
    ('yokebookcallaaaaq', 'yokebookcallaabbq')
    """
    letters = ""
    for _ in range(4):
        number, rest = divmod(number, 26)
        letters = chr(ord("a") + rest) + letters
    return f"{word}{letters}q"
