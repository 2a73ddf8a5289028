"""What moved a number: the values that the data kept otherwise when the number was worked out before."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from yokebook.data.keys import ENTRY, NOT_GIVEN, dotted

# A key as it stands before its value in the text of a branch.
_KEY = re.compile(r"([a-z][a-z0-9_-]*(?: [a-z0-9_-]+)*): ")
_NAME = re.compile(r"\w[\w-]*")


@dataclass(frozen=True)
class Cause:
    """A data key whose value changed, with the value before and after as the data has it."""

    key: str
    old: str
    new: str

    @property
    def as_text(self) -> str:
        """The key with both values; a long entry is only said to have changed."""
        if self.old.startswith(ENTRY) or self.new.startswith(ENTRY):
            return f"{self.key} was changed"
        return f"{self.key}: {self.old} → {self.new}"


def causes(before: Mapping[str, str], after: Mapping[str, str], *, all_keys: bool) -> Sequence[Cause]:
    """Return the values that changed between two lists of inputs, each once, by the key of the value itself.

    A branch is told by what changed within it; one too long to be kept is left out where something within it is told.
    Where the call itself changed, a key that only one of the two depends on moved nothing (`all_keys` is false).
    """
    keys = sorted({*before, *after} if all_keys else {*before} & {*after})
    told = ((dotted(key), before.get(key, NOT_GIVEN), after.get(key, NOT_GIVEN)) for key in keys)
    moved = dict.fromkeys(cause for key, old, new in told for cause in _within(key, old, new))
    return tuple(cause for cause in moved if not any(_is_within(other.key, cause.key) for other in moved))


def _is_within(key: str, branch: str) -> bool:
    return key.startswith((f"{branch}.", f"{branch}["))


def _within(key: str, old: str, new: str) -> Iterator[Cause]:
    """Yield what changed below a key whose text was kept before and after: the value itself, or those of a branch."""
    if old == new:
        return
    before, after = _branch(old), _branch(new)
    if not before or not after:
        yield Cause(key, old, new)
        return
    for step in dict.fromkeys((*before, *after)):
        yield from _within(key + step, before.get(step, NOT_GIVEN), after.get(step, NOT_GIVEN))


def _branch(text: str) -> dict[str, str]:
    """Return the text of each value of a branch by the step that leads there; nothing for a single value.

    >>> _branch("gas: oxygen, usual: 6 L/min, high: 9 L/min")
    {'.gas': 'oxygen', '.usual': '6 L/min', '.high': '9 L/min'}
    >>> _branch("{fresh gas: 1 L/min}, {drive gas: of the machine}")
    {'[0]': 'fresh gas: 1 L/min', '[1]': 'drive gas: of the machine'}
    >>> _branch("on a chain, at the yoke")
    {}
    """
    pieces = _pieces(text)
    if all(piece.startswith("{") and piece.endswith("}") for piece in pieces):
        return {f"[{number}]": piece[1:-1] for number, piece in enumerate(pieces)}
    found: dict[str, str] = {}
    for piece in pieces:
        key = _KEY.match(piece)
        if key:
            step = f".{key[1]}" if _NAME.fullmatch(key[1]) else f'["{key[1]}"]'
            value = piece[key.end() :]
            found[step] = value[1:-1] if value.startswith("{") and value.endswith("}") else value
        elif found:
            # A comma within a value.
            last = next(reversed(found))
            found[last] += f", {piece}"
        else:
            return {}
    return found


def _pieces(text: str) -> list[str]:
    """Return the parts of a text between commas that stand outside braces."""
    pieces, depth = [""], 0
    for part in re.split(r"(, |[{}])", text):
        depth += {"{": 1, "}": -1}.get(part, 0)
        if part == ", " and depth == 0:
            pieces.append("")
        else:
            pieces[-1] += part
    return pieces
