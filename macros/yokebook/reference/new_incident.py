"""Opens an incident: a page of its own, from a template that asks what happened and what was learnt, never who."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

from yokebook.files import write_whole
from yokebook.pages.incident import FOLDER
from yokebook.reference.layout import PAGES
from yokebook.templates import render


def open_incident(folder: Path, name: str, title: str, happened: date) -> Path:
    """Write the page of a new incident of a department and return its path.

    Raises FileExistsError where there is one of that name.
    """
    path = folder / PAGES / FOLDER / f"{name}.md"
    if path.exists():
        raise FileExistsError(path)
    heading = title.replace("&", "&amp;").replace("<", "&lt;")
    text = render("incident.md", heading=heading, quoted=json.dumps(title, ensure_ascii=False), happened=happened)
    write_whole(path, f"{text}\n".encode())
    return path
