"""The list of numbers lacks nothing: each number in a call's HTML stands in it."""

from __future__ import annotations

import json
import re
from html.parser import HTMLParser

import pytest

from demo_site import ROOT
from yokebook.calls import registry
from yokebook.data.load import load
from yokebook.pages.syntax import Call, parse
from yokebook.units import THIN_SPACE


class Texts(HTMLParser):
    """Gathers the texts of an HTML fragment, and the attributes that a reader is told, by the row finder too."""

    def __init__(self) -> None:
        super().__init__()
        self.texts: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = ("aria-label", "title", "alt")
        self.texts += [value or "" for name, value in attrs if name in told or name.startswith("data-")]

    def handle_data(self, data: str) -> None:
        self.texts.append(data)


def numbers_of(text: str) -> set[str]:
    """Return each number in a text, digits in threes put together."""
    return set(re.findall(r"[0-9]+(?:\.[0-9]+)?", text.replace(THIN_SPACE, "")))


@pytest.mark.parametrize("name", sorted(registry.CALLS))
def test_no_number_stands_in_a_calls_html_that_its_list_lacks(name: str) -> None:
    """The example of each call, worked out with the demo's data: HTML against list."""
    department, problems = load(ROOT / "content/data", "content/data")
    assert department is not None
    assert [] == problems
    call = parse(registry.CALLS[name].example, "page", 1, 1)
    assert isinstance(call, Call)
    result, problems = registry.run(call.name, call.arguments, department, "page")
    assert result is not None, [problem.wrong for problem in problems]
    assert result.numbers is not None
    reader = Texts()
    reader.feed(result.html + result.at_end)
    listed = numbers_of(json.dumps(result.numbers.as_plain(), ensure_ascii=False))
    shown = numbers_of(" ".join(reader.texts))
    assert shown, "a call that shows no number"
    assert set() == shown - listed


@pytest.mark.parametrize("name", sorted(registry.CALLS))
def test_each_call_says_what_it_gives_and_what_it_takes(name: str) -> None:
    """A first sentence, and for each argument a description and an example."""
    definition = registry.CALLS[name]
    assert definition.summary.endswith(".")
    for key, field in definition.arguments.keys().items():
        assert field.description, f"{name}: {key}"
        assert field.examples, f"{name}: {key}"
