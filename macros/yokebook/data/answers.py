"""Notes that a department may answer with a reason: open until followed or answered."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from yokebook.data.entry import Entry
from yokebook.data.faults import Fault, Path
from yokebook.data.references import Placed


@dataclass(frozen=True)
class Open:
    """What an entry does not follow, or what is unusual about it: the code, the name of its answer, where and why.

    `on_key` points at the key, else at its value.
    """

    code: str
    answer: str
    at: Path
    wrong: str
    on_key: bool = True
    allowed: str = "follow it"


def judged(entry: Path, answers: Entry, found: Iterable[Open]) -> Iterator[Placed]:
    """Yield a note for each of those found that is not answered, and a warning for an answer to nothing."""
    found = list(found)
    fields = type(answers).model_fields.items()
    given = {str(field.alias) for name, field in fields if getattr(answers, name) is not None}
    for one in found:
        if one.answer not in given:
            example = f"answers: {{{one.answer}: {type(answers).example_of((one.answer,))}}}"
            allowed = f"{one.allowed}, or answer it with a reason under {one.answer}"
            yield entry, Fault(one.code, one.wrong, one.at, on_key=one.on_key, allowed=allowed, example=example)
    for key in sorted(given - {one.answer for one in found}):
        wrong = "this answers a recommendation that is followed here; the answer can go"
        yield entry, Fault("W310", wrong, ("answers", key), on_key=True, allowed="answers to what is not followed")
