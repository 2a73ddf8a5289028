"""A gauge cut open: its parts, what they do, and what the dial shows when each is bad."""

from __future__ import annotations

from yokebook.calls.parts_table import parts_table
from yokebook.calls.result import Caution, Figure
from yokebook.figures import cutaway

_NEVER_OPEN = Caution(
    "WARNING",
    "Never open a gauge, never oil or grease it, never bend its pointer back. A gauge that sticks, jumps, does not "
    "come back to zero, leaks, or whose window is broken is taken out of use.",
)
_OPEN_SLOWLY = Caution(
    "CAUTION",
    "Open the cylinder valve slowly, face and hands away from the front and the back of the gauge: a blow of pressure "
    "can burst a tired tube.",
)
# What each part does, and what the dial shows when it is bad: common practice of the trade, no source.
_PARTS = {
    "socket": (
        "Screws the gauge to the yoke and lets the cylinder pressure in",
        "Leak: a hiss, contents lost. Blocked: the pointer moves late, or stays where it was after the valve is closed",
    ),
    "bent tube": (
        "Straightens a little as the pressure in it rises",
        "Strained by too high a pressure: reads too high, also at zero. Cracked: leaks into the case, or bursts",
    ),
    "flattened section": (
        "Makes the tube straighten: under pressure it becomes rounder",
        "Dented: reads wrong, and differently along the scale",
    ),
    "closed end": (
        "Carries the movement of the tube, a few millimetres over the whole scale",
        "Its joint leaks: the case fills with gas, the reading may look right",
    ),
    "link": (
        "Pulls the sector as the closed end moves",
        "Bent: every reading is off. Come off: the pointer does not move, whatever is in the cylinder",
    ),
    "sector": (
        "Turns the small movement into a large one",
        "Teeth worn where the pointer stands most: it sticks or jumps there",
    ),
    "pinion": (
        "Turns the pointer's spindle",
        "Worn or dirty: the pointer hangs, and jumps when the case is tapped",
    ),
    "pointer": (
        "Shows the pressure on the scale",
        "Loose on its spindle: off by the same amount everywhere. Bent: rubs on dial or window and sticks",
    ),
}


def figure() -> Figure:
    """Return the drawing of a gauge cut open, with what its parts do and what the dial shows when they are bad."""
    drawing = cutaway.CUTAWAY
    table = parts_table(drawing, _PARTS, "the gauge", "what the dial shows", (_NEVER_OPEN, _OPEN_SLOWLY))
    title = "How a cylinder gauge works: pressure straightens a bent tube, and its closed end turns the pointer"
    return Figure(cutaway.draw, title, drawing.words, table)
