"""The author's reference, made from the code itself: calls, fields of the data, codes of problems.

Run as `python -m yokebook.reference.author_pages FOLDER` after a change; a test fails where the pages lag behind.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path
from types import UnionType
from typing import Any, get_args

from yokebook.calls import registry
from yokebook.calls.definition import Definition
from yokebook.data.entry import Entry
from yokebook.data.load import MODELS
from yokebook.data.settings import Settings
from yokebook.errors import TITLES
from yokebook.pages.front_matter import FrontMatter

FAMILIES = {
    "reserve": "How long a cylinder lasts",
    "weight": "Liquefied gas, by weight or once only gas is left",
    "units": "Conversions, and numbers that stand in the text on purpose",
    "yoke": "Pins, what fits, and what a leak costs",
    "gauge": "What a dial shows",
    "regulator": "The outlet pressure as the cylinder empties",
    "figure": "Curves of contents and reserve",
    "card": "Cards to hang on a machine",
}
"""What an author can call, one page a family; a new family comes last, for the pages are numbered in this order."""
_FIRST_NUMBER = 81
_LEVELS = {"E": "Errors: the site is not built", "W": "Warnings", "N": "Recommendations, each answered with a reason"}


def pages() -> dict[str, str]:
    """Return each page of the author's reference by its file name."""
    families = {_file_of(family): _family(family) for family in FAMILIES}
    return {"calls.md": _calls(), **families, "fields.md": _fields(), "codes.md": _codes()}


def _page(title: str, number: str, summary: str, lines: Iterator[str]) -> str:
    head = ["---", f"title: {title}", f"procedure: {number}", "owner: equipment lead", f"summary: {summary}", "---", ""]
    return "\n".join([*head, f"# {title}", "", *lines]).rstrip() + "\n"


def _calls() -> str:
    return _page("Calls for authors", "REF-91", "What an author can call from a page.", _by_family())


def _by_family() -> Iterator[str]:
    yield "A call stands between double braces. A table stands alone in its paragraph; a value stands in a sentence."
    for family, heading in FAMILIES.items():
        yield from ("", f"## {heading}", "", "| call | what it gives |", "|---|---|")
        for name, definition in _calls_of(family):
            yield f"| [{name}]({_file_of(family)}#{name}) | {definition.summary} |"


def _file_of(family: str) -> str:
    return f"calls-{family}.md"


def _calls_of(family: str) -> Iterator[tuple[str, Definition]]:
    return ((name, call) for name, call in sorted(registry.CALLS.items()) if call.family == family)


def _family(family: str) -> str:
    number = f"REF-{_FIRST_NUMBER + list(FAMILIES).index(family)}"
    summary = "What an author can call from a page, with an example of each."
    return _page(f"Calls · {FAMILIES[family]}", number, summary, _each_call(family))


def _each_call(family: str) -> Iterator[str]:
    yield "All calls: [calls for authors](calls.md)."
    for name, definition in _calls_of(family):
        call = _braces(definition.example)
        yield from ("", f"## {name}", "", definition.summary, "", "```", call, "```", "")
        yield from _table(definition.arguments)
        yield from ("", "It gives:", "", call)


def _braces(call: str) -> str:
    return "{{ " + call + " }}"


def _fields() -> str:
    return _page("Fields of the data", "REF-92", "What each file of the department's data may hold.", _by_file())


def _by_file() -> Iterator[str]:
    yield "Every quantity is a text with its unit, with a decimal point. What is not named here is refused."
    yield from ("", "## The front matter of a page", "")
    yield from _table(FrontMatter)
    models: dict[str, type[Entry]] = {"department": Settings, **MODELS}
    for file, model in models.items():
        yield from ("", f"## {file}.yaml", "")
        yield from _table(model)
        for key, inner in _inner_models(model):
            yield from ("", f"### {key} in {file}.yaml", "")
            yield from _table(inner)


def _inner_models(model: type[Entry], before: str = "") -> Iterator[tuple[str, type[Entry]]]:
    """Yield each entry within an entry, by the keys that lead to it, ranges of two or three values left out."""
    for key, field in model.keys().items():
        for inner in _entries_in(field.annotation):
            if set(inner.keys()) - {"low", "usual", "high"}:
                yield before + key, inner
                yield from _inner_models(inner, f"{before}{key}, ")


def _entries_in(annotation: Any) -> Iterator[type[Entry]]:
    if isinstance(annotation, type) and issubclass(annotation, Entry):
        yield annotation
    elif isinstance(annotation, UnionType) or get_args(annotation):
        for argument in get_args(annotation):
            yield from _entries_in(argument)


def _table(model: type[Entry]) -> Iterator[str]:
    yield from ("| key | needed | meaning | example |", "|---|---|---|---|")
    for key, field in model.keys().items():
        example = str(field.examples[0]) if field.examples else ""
        needed = "yes" if field.is_required() else "no"
        yield f"| `{key}` | {needed} | {field.description or ''} | `{example}` |"


def _codes() -> str:
    return _page("Codes of problems", "REF-93", "What each code in a report stands for.", _by_level())


def _by_level() -> Iterator[str]:
    yield "Each problem in a report has a code. The code never changes its meaning, so it can be searched for."
    for letter, heading in _LEVELS.items():
        yield from ("", f"## {heading}", "", "| code | what it stands for |", "|---|---|")
        yield from (f"| `{code}` | {title} |" for code, title in TITLES.items() if code.startswith(letter))


def main(folder: Path) -> None:
    """Write the pages into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in pages().items():
        (folder / name).write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
