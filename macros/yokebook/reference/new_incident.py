"""Opens an incident: a page of its own, from a template that asks what happened and what was learnt, never who.

And says which sentences of that template nobody has replaced yet.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from datetime import date
from functools import cache
from pathlib import Path

from yokebook.errors import Level, Problem, ProblemError
from yokebook.files import not_written, write_whole
from yokebook.pages import front_matter
from yokebook.pages.incident import FOLDER
from yokebook.pages.page import Page
from yokebook.pages.places import Places
from yokebook.reference.days import still_to_come, until_today
from yokebook.reference.layout import PAGES
from yokebook.templates import folder, render
from yokebook.yamlfile import plain

_TEMPLATE = "incident.md"


def open_incident(folder: Path, name: str, title: str, happened: date, today: date) -> Path:
    """Write the page of a new incident of a department, opened today, and return its path.

    Raises FileExistsError where there is one of that name, ProblemError for a day still to come or where the disk
    refuses.
    """
    if happened > today:
        wrong, allowed = still_to_come(happened, today), until_today(today)
        raise ProblemError([Problem("--happened", 0, 0, Level.ERROR, "E830", wrong, str(happened), allowed)])
    path = folder / PAGES / FOLDER / f"{name}.md"
    if path.exists():
        raise FileExistsError(path)
    heading = title.replace("&", "&amp;").replace("<", "&lt;")
    text = render(_TEMPLATE, heading=heading, quoted=json.dumps(title, ensure_ascii=False), happened=happened)
    try:
        write_whole(path, f"{text}\n".encode())
    except OSError as error:
        raise ProblemError([not_written(path, error)]) from error
    return path


def still_asked(page: Page) -> Iterator[Problem]:
    """Yield a warning at each sentence of the template that still stands in an incident's page."""
    text = re.sub(r"\r\n?", "\n", page.content.decode("utf-8-sig"))
    places = Places(page.file, text, 1)
    for sentence in _sentences():
        if found := re.search(r"\s+".join(map(re.escape, sentence.split())), text):
            wrong = "this is what yokebook incident wrote to be replaced, and readers would see it"
            allowed = "what happened, was learnt and follows, in your own words; or nothing in its place"
            example = "A cylinder stayed open overnight, and was found empty in the morning."
            at = (page.file, *places.of(found.start()))
            yield Problem(*at, Level.WARNING, "W773", wrong, found[0].split("\n")[0], allowed, example)


@cache
def _sentences() -> tuple[str, ...]:
    """Return each sentence that the template holds for its author to replace; its headings stay."""
    template = (folder() / "yokebook" / _TEMPLATE).read_text(encoding="utf-8")
    parts = front_matter.split(re.sub(r"\{\{.*?\}\}", "filled in", template).encode(), _TEMPLATE)
    assert parts.front
    lines = [line.removeprefix("- ") for line in parts.body.split("\n") if not line.startswith("#")]
    asked = re.split(r"(?<=\.)\s+", "\n".join(lines).strip())
    return (str(plain(parts.front.values["summary"])), *asked)
