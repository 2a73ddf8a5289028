"""Which calls of a page before and now belong together, and which heads of their rows and columns."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Mapping, Sequence
from difflib import SequenceMatcher
from typing import Any

from yokebook.control.quantities_in_text import equal_but_for_quantities, has_words_round_a_quantity
from yokebook.data.keys import dotted

Call = Mapping[str, Any]
TYPED = "typed"
"""The call whose numbers an author typed: they are words of the page, not computed."""
Head = tuple[str, int]
"""The head of a row or column, and how many of the same text stand before it."""


def caption(call: Call) -> str:
    """Return what a reader knows a call's numbers by."""
    texts = call["texts"]
    if call["name"] in call["keys"]:
        return f"The data's value {dotted(call['name'])}"
    told = next((texts[key] for key in ("caption", "label", "title") if texts.get(key)), str(call["name"]))
    # A card says in its head for which machine and gas it is.
    return f"{texts['head']}: {told}" if texts.get("head") else told


def pair_calls(old: Sequence[Call], new: Sequence[Call]) -> list[tuple[int, int]]:
    """Return the places of calls that belong together."""
    pairs: list[tuple[int, int]] = []
    for identity in (written, _captioned, _captioned_but_for_quantities):
        left = _left(len(old), {i for i, _ in pairs})
        right = _left(len(new), {j for _, j in pairs})
        places: dict[str, list[int]] = {}
        for i in left:
            places.setdefault(identity(old[i]), []).append(i)
        for j in right:
            if same := places.get(identity(new[j])):
                pairs.append((same.pop(0), j))
    left = _left(len(old), {i for i, _ in pairs})
    right = _left(len(new), {j for _, j in pairs})
    names = SequenceMatcher(None, [_shape(old[i]) for i in left], [_shape(new[j]) for j in right], autojunk=False)
    for block in names.get_matching_blocks():
        pairs += [(left[block.a + step], right[block.b + step]) for step in range(block.size)]
    return pairs


def _left(count: int, taken: set[int]) -> list[int]:
    return [place for place in range(count) if place not in taken]


def written(call: Call) -> str:
    """Return a call as its author wrote it: its name and its arguments."""
    return json.dumps([call["name"], call["arguments"]], sort_keys=True, ensure_ascii=False)


def _captioned(call: Call) -> str:
    return json.dumps([call["name"], caption(call)], ensure_ascii=False)


def _captioned_but_for_quantities(call: Call) -> str:
    return json.dumps([call["name"], equal_but_for_quantities(caption(call))], ensure_ascii=False)


def _shape(call: Call) -> tuple[str, bool]:
    """Return what two calls share that may be one, changed: a number in a sentence never becomes a table."""
    return str(call["name"]), is_inline(call)


def is_inline(call: Call) -> bool:
    """Return whether a call gives a number in a sentence."""
    return list(call["columns"]) == ["value"] and len(call["rows"]) == 1


def turned(old: Sequence[Head], new: Sequence[Head]) -> dict[Head, Head]:
    """Return which new head an old one became that is not there any more: the same but for its quantities.

    They are taken in order, and only where as many of one wording went as came, and none of that wording stayed.
    """
    stayed = {equal_but_for_quantities(text) for text, _ in {*old} & {*new}}
    gone, came = _by_wording(old), _by_wording(new)
    return {
        one: other
        for wording, heads in gone.items()
        if wording not in stayed and len(heads) == len(came.get(wording, ()))
        for one, other in zip(heads, came[wording], strict=True)
    }


def _by_wording(heads: Sequence[Head]) -> dict[str, list[Head]]:
    found: dict[str, list[Head]] = {}
    for head in heads:
        if has_words_round_a_quantity(head[0]):
            found.setdefault(equal_but_for_quantities(head[0]), []).append(head)
    return found


def counted(heads: Sequence[str]) -> list[Head]:
    """Return heads of one text told apart by how many of them stand before."""
    seen: Counter[str] = Counter()
    counted = []
    for head in heads:
        counted.append((head, seen[head]))
        seen[head] += 1
    return counted
