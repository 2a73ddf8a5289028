"""Keeps what one run asked of its slow libraries for the next: gas states, how large units are, and pages laid out.

The file is only a store of answers to exact questions: without it a run gives the same numbers.
"""

from __future__ import annotations

import json
from hashlib import sha256
from pathlib import Path
from typing import Any

from yokebook import units
from yokebook.errors import OutOfRange
from yokebook.files import write_whole
from yokebook.pages import extensions
from yokebook.physics import realgas

STORE = Path(".yokebook") / "answers.json"


def load(folder: Path) -> int:
    """Take in the answers of an earlier run below `folder`; return how many are known now.

    A file that is damaged, or was written with other versions of the libraries, counts as none: its digest covers both.
    """
    pages: dict[str, Any] = {}
    try:
        kept = json.loads((folder / STORE).read_text(encoding="utf-8"))
        if kept["digest"] == _digest(kept["states"], kept["scales"], kept["pages"]):
            realgas.learn({str(question): float(answer) for question, answer in kept["states"].items()})
            units.learn(kept["scales"])
            pages = kept["pages"]
    except (OSError, ValueError, KeyError, TypeError, AttributeError, ArithmeticError, OutOfRange):
        pass
    extensions.learn(pages)
    return _known()


def save(folder: Path, known_before: int) -> None:
    """Write the answers below `folder` where there are others than before; else, and where it can't, do nothing."""
    if _known() == known_before and not extensions.has_news():
        return
    states, scales, pages = realgas.states(), units.scales(), extensions.kept()
    kept = {"digest": _digest(states, scales, pages), "scales": scales, "states": states, "pages": pages}
    try:
        write_whole(folder / STORE, json.dumps(kept, ensure_ascii=False, indent=0).encode())
    except OSError:
        return


def _known() -> int:
    return len(realgas.states()) + len(units.scales())


def _digest(states: Any, scales: Any, pages: Any) -> str:
    versions = [realgas.version(), units.version(), extensions.version()]
    return sha256(json.dumps([versions, states, scales, pages], sort_keys=True).encode()).hexdigest()
