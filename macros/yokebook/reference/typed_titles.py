"""Numbers typed in the titles of uses: the program writes what is set beside a title, and the two may differ."""

from __future__ import annotations

from collections.abc import Iterator

from yokebook.data.department import Department
from yokebook.data.faults import Fault
from yokebook.errors import Problem
from yokebook.pages import typed_numbers


def typed_titles(department: Department | None) -> Iterator[Problem]:
    """Yield each number with its unit that stands in a use's title."""
    if department is None:
        return
    for use in department.uses.values():
        for typed in typed_numbers.find(use.title):
            yield department.sources.problem(
                ("uses", use.key),
                Fault(
                    "E781",
                    f"{typed.text} is typed in a title: it would stay as it is when the draws change, and may "
                    "contradict them",
                    ("title",),
                    allowed="words alone: the flow that the draws set stands behind the title by itself",
                    example="title: Face mask",
                ),
            )
