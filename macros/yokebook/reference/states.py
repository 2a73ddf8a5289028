"""Keeps what one run asked of its slow libraries for the next: gas states, and how large units are.

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
from yokebook.physics import realgas

_FILE = Path(".yokebook") / "answers.json"


def load(folder: Path) -> int:
    """Take in the answers of an earlier run below `folder`; return how many are known now.

    A file that is damaged, or was written with other versions of the libraries, counts as none: its digest covers both.
    """
    try:
        kept = json.loads((folder / _FILE).read_text(encoding="utf-8"))
        if kept["digest"] == _digest(kept["states"], kept["scales"]):
            realgas.learn({str(question): float(answer) for question, answer in kept["states"].items()})
            units.learn(kept["scales"])
    except (OSError, ValueError, KeyError, TypeError, AttributeError, ArithmeticError, OutOfRange):
        pass
    return _known()


def save(folder: Path, known_before: int) -> None:
    """Write the answers below `folder` where there are more than before; else, and where it can't, do nothing."""
    if _known() == known_before:
        return
    states, scales = realgas.states(), units.scales()
    kept = {"digest": _digest(states, scales), "scales": scales, "states": states}
    try:
        write_whole(folder / _FILE, json.dumps(kept, ensure_ascii=False, indent=0).encode())
    except OSError:
        return


def _known() -> int:
    return len(realgas.states()) + len(units.scales())


def _digest(states: Any, scales: Any) -> str:
    versions = [realgas.version(), units.version()]
    return sha256(json.dumps([versions, states, scales], sort_keys=True).encode()).hexdigest()
