"""The fleet with a few pages, to compare before and after a change."""

from __future__ import annotations

import shutil
from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path

from calls_of import FLEET
from demo_site import change
from yokebook.control import manifest
from yokebook.control.as_read import NUMBERS, WORDS, PageAsRead
from yokebook.control.editions import SCRIPT, Edition, Editions, Listed, read_script
from yokebook.reference.pages_as_read import all_as_read, lists_of_words
from yokebook.reference.whole import Reference, work_out

CHANGING = """---
title: Changing a cylinder
procedure: CYL-01
owner: approver
machines: [theatre-1]
---

# Changing a cylinder

## When

Change it at {{ change_at(cylinder="oxygen-e", machine="theatre-1", use="bellows", time="15 min") }}, and no later.

The plug hangs {{ machines["theatre-1"].yokes[0].plug }}.

## Steps

1.  Close the valve.

2.  Lift with two hands, close to the body. See [the card](cards/theatre-1-oxygen.md).

## How long

{{ reserve_table(cylinder="oxygen-e", machine="theatre-1", uses=["bellows", "bag-low-flow"],
                 readings=["100 bar", "60 bar", "30 bar"]) }}
"""
CARD = """---
title: "Card: oxygen on theatre-1"
procedure: CARD-01
owner: approver
machines: [theatre-1]
---

# Card: oxygen on theatre-1

{{ reserve_table(cylinder="oxygen-e", machine="theatre-1", uses=["bellows"], readings=["100 bar", "30 bar"]) }}
"""
INCIDENT = """---
title: Oxygen low in theatre
summary: A cylinder ran low during a list.
incident: {happened: 2026-02-03, reviewed: 2026-02-20, procedures: [CYL-01]}
---

# Oxygen low in theatre

## What happened

The reading was looked up late. Nobody came to harm.

## What was learnt

The table was not at the machine.
"""
PAGES = {
    "changing.md": CHANGING,
    "cards/theatre-1-oxygen.md": CARD,
    "incidents/low-in-theatre.md": INCIDENT,
    "words.md": "---\ntitle: Words\n---\n\nA yoke holds a cylinder.\n",
}


def lay_out(site: Path) -> Path:
    """Lay the fleet out in a folder with its pages; nothing is approved."""
    shutil.copytree(FLEET, site)
    for path, text in PAGES.items():
        file = site / "content/pages" / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(text, encoding="utf-8")
    (site / "mkdocs.yml").write_text("site_name: Larkmoor Infirmary\nplugins:\n- yokebook\n", encoding="utf-8")
    return site


def worked(site: Path) -> Reference:
    """Return the worked reference, which is to be without errors."""
    reference = work_out(site)
    assert not reference.problems.stops_the_build, list(reference.problems)
    return reference


def read(site: Path) -> dict[str, PageAsRead]:
    """Return the pages as they are read."""
    return all_as_read(worked(site))


def change_page(site: Path, path: str, old: str, new: str) -> None:
    """Replace a text of a page."""
    change(site / "content/pages" / path, old, new)


def change_data(site: Path, file: str, old: str, new: str) -> None:
    """Replace a text of a data file."""
    change(site / "content/data" / file, old, new)


def publish(site: Path, target: Path, in_force: date, **issues: int) -> Edition:
    """Put the lists of the next edition into a target, and its line into the list of editions; no pages.

    Issues are named as in `CYL_01=2`.
    """
    script = target / SCRIPT
    editions = read_script(script.read_bytes()) if script.is_file() else Editions()
    titles = {page.procedure: (page.title, path) for path, page in read(site).items()}
    numbers = {name.replace("_", "-"): issue for name, issue in issues.items()}
    procedures = {number: Listed(issue, *titles[number]) for number, issue in numbers.items()}
    edition = Edition(len(editions.editions) + 1, in_force, "", procedures)
    content = manifest.of_folder(write_lists(site, target / edition.address))
    (target / edition.address / manifest.NAME).write_bytes(content)
    edition = replace(edition, manifest=manifest.digest_of(content))
    script.write_bytes(editions.with_edition(edition, {}).as_script())
    return edition


def write_lists(site: Path, folder: Path) -> Path:
    """Write the lists of numbers and words of an edition as a build does."""
    reference = worked(site)
    lists: Mapping[str, Iterable[tuple[str, str]]] = {
        NUMBERS: reference.lists_of_numbers(),
        WORDS: lists_of_words(reference),
    }
    for part, within in lists.items():
        for name, text in within:
            file = folder / part / name
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_text(text, encoding="utf-8")
    return folder
