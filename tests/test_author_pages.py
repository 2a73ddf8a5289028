"""The author's reference: made from the code, complete, and not lagging behind it."""

from __future__ import annotations

import pytest

from demo_site import ROOT
from yokebook.calls import registry
from yokebook.errors import TITLES
from yokebook.reference.author_pages import FAMILIES, pages

FOLDER = ROOT / "content/pages/writing"


@pytest.mark.parametrize("name", sorted(pages()))
def test_the_pages_are_those_that_the_code_makes(name: str) -> None:
    """After a change of a call, a field or a code: `make authors`."""
    assert pages()[name] == (FOLDER / name).read_text(encoding="utf-8")


def test_every_call_and_every_code_has_its_place() -> None:
    """What is not described fails."""
    calls, codes = pages()["calls.md"], pages()["codes.md"]
    for name, definition in registry.CALLS.items():
        page = f"calls-{definition.family}.md"
        assert f"\n## {name}\n" in pages()[page]
        assert f"[{name}]({page}#{name})" in calls
    assert [] == [code for code in TITLES if f"`{code}`" not in codes]
    assert set(FAMILIES) == {definition.family for definition in registry.CALLS.values()}


def test_every_field_says_what_it_means() -> None:
    """No field without a meaning and an example."""
    lacking = [line for line in pages()["fields.md"].splitlines() if "|  |" in line or "| `` |" in line]
    assert [] == lacking
