"""Keeps the gas states of one run for the next, so that a run without new ones need not start CoolProp.

The file is only a store of answers to exact questions: without it a run gives the same numbers.
"""

from __future__ import annotations

import json
from hashlib import sha256
from pathlib import Path

from yokebook.errors import OutOfRange
from yokebook.files import write_whole
from yokebook.physics import realgas

_FILE = Path(".yokebook") / "gas-states.json"


def load(folder: Path) -> int:
    """Take in the states of an earlier run below `folder`; return how many are known now.

    A file that is damaged, or was written with another version of CoolProp, counts as none: its digest covers both.
    """
    try:
        kept = json.loads((folder / _FILE).read_text(encoding="utf-8"))
        states = {str(question): float(answer) for question, answer in kept["states"].items()}
        if kept["digest"] == _digest(states):
            realgas.learn(states)
    except (OSError, ValueError, KeyError, TypeError, AttributeError, OutOfRange):
        pass
    return len(realgas.states())


def save(folder: Path, known_before: int) -> None:
    """Write the states below `folder` where there are more than before; else, and where it can't, do nothing."""
    states = realgas.states()
    if len(states) == known_before:
        return
    text = json.dumps({"digest": _digest(states), "states": states}, ensure_ascii=False, indent=0)
    try:
        write_whole(folder / _FILE, text.encode())
    except OSError:
        return


def _digest(states: dict[str, float]) -> str:
    return sha256(json.dumps([realgas.version(), states], sort_keys=True).encode()).hexdigest()
