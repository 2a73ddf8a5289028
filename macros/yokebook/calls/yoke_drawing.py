"""A yoke as it is drawn: its parts, with what fails when each is bad, and its pins beside the holes of the valve."""

from __future__ import annotations

from functools import partial

from yokebook import units
from yokebook.calls.parts_table import parts_table
from yokebook.calls.pin_words import COUNTED, READ_THE_LABEL, SOURCE, code_text, colours_source, lets_in, swatch
from yokebook.calls.refusal import Refusal
from yokebook.calls.result import Caution, Figure, Input, Table, Working
from yokebook.calls.yoke_pins import LOOK_AT_THE_PINS
from yokebook.data.department import Department
from yokebook.data.faults import Fault
from yokebook.figures import pins, yoke
from yokebook.gases import Gas
from yokebook.number_list import Shown
from yokebook.physics.pins import Face, Side

_NO_OIL = Caution(
    "WARNING",
    "No oil, no grease, no tape and no force on any part of a yoke: under high pressure of oxygen or nitrous oxide, "
    "oil and grease catch fire.",
)
_OUT_OF_USE = Caution(
    "CAUTION",
    "A yoke with a bad part is taken out of use and repaired only by those whom its manufacturer and the department "
    "allow.",
)
# What each part does, and what follows when it is bad: common practice of the trade, no source.
_PARTS = {
    "body of the yoke": (
        "Carries the cylinder and holds the other parts in line",
        "Bent or cracked: the valve sits askew and leaks, or the cylinder falls",
    ),
    "hinge": (
        "Closes behind the valve and holds the retaining screw",
        "Not closed fully, or worn: the screw presses askew, and the cylinder can come away",
    ),
    "retaining screw": (
        "Its point enters the hollow at the back of the valve and presses the valve onto the washer",
        "Loose or worn: a hiss at the washer, contents lost. Set beside the hollow, on the valve's relief device: gas "
        "blows off. Turned with force: washer and nipple are crushed",
    ),
    "nipple": (
        "Enters the port of the valve and lets the gas through",
        "Scratched, bent or dirty: no washer makes it tight",
    ),
    "sealing washer": (
        "Makes nipple and port tight; there is one, never two",
        "Missing, worn or of the wrong kind: a hiss, contents lost. Two of them: the pins no longer reach the holes, "
        "and a wrong cylinder can go in",
    ),
    "filter": (
        "Keeps dust and metal from check valve and regulator",
        "Blocked: the pressure behind it falls when much is drawn. Missing: dirt keeps check valve and regulator from "
        "closing",
    ),
    "check valve": (
        "Lets gas into the machine and none out of it",
        "Leaks: gas escapes through an empty yoke, or the fuller cylinder of a double yoke fills the other",
    ),
    "index pins": (
        "Enter the holes of the right valve and keep other valves out",
        "Bent, loose or missing: a wrong gas can be hung. A pin driven back into the yoke looks like none",
    ),
    "yoke plug": (
        "Closes a yoke in which no cylinder hangs",
        "Missing, or without its washer: where the check valve leaks, contents are lost and the supply falls",
    ),
}


def parts_figure() -> Figure:
    """Return the parts of a hanger yoke, with what each does and what follows when it is bad."""
    drawing = yoke.YOKE
    table = parts_table(drawing, _PARTS, "a hanger yoke", "what follows", (_NO_OIL, _OUT_OF_USE))
    return Figure(yoke.draw, drawing.title, drawing.words, table)


def pins_figure(department: Department, told: str, gas: Gas, inputs: tuple[Input, ...]) -> Figure:
    """Return the pins of a yoke beside the holes of the valve that fits it; refuse where position 1 is not known.

    `told` is how the gas is told: a mixture with its fractions, or with their range.
    """
    settings = department.settings
    if settings.pin_position_1 is None:
        wrong = "department.yaml does not say on which side position 1 lies, and the drawing would be a guess"
        allowed = (
            "pin_position_1, left or right, in department.yaml: face a nitrous oxide cylinder valve (3-5) of your own; "
            "of its two holes, the one nearer to the middle of the row lies on the side of position 1"
        )
        raise Refusal(Fault("E557", wrong, allowed=allowed, example="pin_position_1: left"))
    standard = settings.colour_marks
    code = code_text(gas.pins)
    drawn = pins.Pins(
        told, gas.pins, code, Side(settings.pin_position_1), lets_in(gas.pins), swatch(told, gas, standard)
    )
    side = f"{settings.pin_position_1}, seen facing the cylinder valve"
    table = Table(
        caption=f"Pin index {code}, {told}: where the holes and the pins are",
        condition=(
            f"{COUNTED} Position 1 lies on the {side}; on the yoke it is the other way round. This code lets in: "
            f"{lets_in(gas.pins)}. {pins.READ}"
        ),
        corner="Position",
        rows=tuple(str(position) for position in drawn.code),
        columns=("Hole, seen facing the cylinder valve", "Pin, seen facing the yoke"),
        cells=tuple(tuple(Shown(drawn.where(position, face)) for face in Face) for position in drawn.code),
        unit="",
        rounding=units.Rounding.NEAREST,
        cautions=(READ_THE_LABEL, LOOK_AT_THE_PINS),
        working=Working(
            (
                *inputs,
                Input("Position 1 lies", side, "department.pin_position_1"),
                Input("Standard of the colour marks", standard, "department.colour_marks"),
            ),
            (SOURCE, "The distances in the drawing are from memory: do not measure there.", colours_source(standard)),
        ),
    )
    return Figure(partial(pins.draw, drawn), drawn.title, drawn.words, table)
