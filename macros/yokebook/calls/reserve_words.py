"""What stands around the numbers of the family reserve: conditions, cautions, and bounds in words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal

from yokebook import gases, units
from yokebook.calls.dial import accuracy_text, check_text
from yokebook.calls.draw import Drawn, flowmeters_text
from yokebook.calls.result import Caution
from yokebook.calls.supply import Supply
from yokebook.calls.weighing import Weighing
from yokebook.data.cylinders import Cylinder
from yokebook.data.department import Department
from yokebook.number_list import Shown, significant
from yokebook.physics import realgas
from yokebook.quantities import GasCubicMetres

LOWER_ROW = Caution(
    "WARNING", "If the reading lies between two rows, use the lower one. Only one cylinder is open at a time."
)
LONGER_ROW = Caution(
    "WARNING",
    "If the planned time lies between two rows, use the longer one. If the gauge shows less than the cell says, take a "
    "fuller cylinder.",
)
TRAPPED = Caution(
    "WARNING",
    "A spare counts only if it was read on its own: close the other cylinder, let the pressure out until the gauge "
    "reads 0, then open the spare. A closed cylinder leaves its pressure trapped, and the gauge goes on showing it.",
)
ONE_OPEN = Caution(
    "WARNING",
    "Keep one cylinder open and the others closed. Two that are open together empty together, and the gauge shows the "
    "fuller of them. If the reading lies between two rows, use the lower one.",
)
NOT_INSTEAD = Caution(
    "NOTICE",
    "These numbers do not replace watching the gauge, the manufacturer's instructions, local rules or licensed "
    "practice.",
)
COLD_MIXTURE = Caution(
    "DANGER",
    "Where this mixture has been cold it separates: too much oxygen comes out first, too little afterwards, and a "
    "patient may be starved of oxygen. Use no cylinder that may have been cold before it is warm and mixed again as "
    "its supplier says.",
)
LESS_TAKEN = "a larger cylinder, or a use that takes less"
LESS_TAKEN_EXAMPLE = 'flow="2 L/min"'
AT_LEAST = f"at{units.NO_BREAK_SPACE}least{units.NO_BREAK_SPACE}"
NOTHING_LEFT = "nothing to count on: change now"
# Litres are told in steps that grow with them, always downwards: (below so many litres, step in litres).
_LITRES = ((100, 5), (1000, 10))
_MOST_LITRES = 50
LITRES_DOWN = "Rounding: down, under 100 L to 5 L, under 1000 L to 10 L, else to 50 L."


def of_gas(source: Supply | Weighing) -> tuple[Caution, ...]:
    """Return the cautions that go with a cylinder's gas."""
    return of_entries(source.entry)


def of_entries(*entries: Cylinder) -> tuple[Caution, ...]:
    """Return the cautions that go with the gases of cylinders."""
    return (COLD_MIXTURE,) if any(entry.contents is gases.FIFTY_FIFTY for entry in entries) else ()


def tolerances(source: Supply, drawn: Iterable[Drawn]) -> str:
    """Return each tolerance that is in a number; of `drawn` nothing where no flow has a part in it."""
    columns = tuple(drawn)
    temperature, gauge = source.physics.temperature, source.dial.gauge
    small = source.entry.water_capacity_tolerance
    parts = (
        f"gauge out by {accuracy_text(gauge)}{check_text(gauge)}, and by its own temperature",
        f"read half a mark wrong ({source.dial.half_a_mark})",
        *([f"water capacity {small.text} less than stamped"] if small else []),
        f"cylinder at {units.shown(temperature.low, '°C', '0.1')} to {units.shown(temperature.high, '°C', '0.1')}",
        *flowmeters_text(columns),
        *(["drive gas at its high value"] if any(column.physics.drive_gas.high > 0 for column in columns) else []),
        *(["the model of the mixture that gives least"] if len(realgas.models(source.physics.gas)) > 1 else []),
        f"down to a true pressure of {source.kept.text}",
    )
    return ", ".join(parts)


def worked(way: str, source: Supply, drawn: Iterable[Drawn]) -> str:
    """Return under which conditions a number holds, and which way it was rounded."""
    return f"Worked with each tolerance at its worst and rounded {way}: {tolerances(source, drawn)}."


def reference(department: Department) -> str:
    """Return the condition in which litres are counted."""
    state = department.settings.flowmeter_reference
    return f"{state.temperature.text} and {state.pressure.text}"


def litres_at(department: Department) -> str:
    """Return at which condition litres are litres."""
    return f"Litres are litres at {reference(department)}."


def on_the_dial(source: Supply) -> str:
    """Return which dial a number belongs to."""
    return f"for dials that end at {source.dial.label(source.dial.high)}"


def to_a_mark(source: Supply) -> str:
    """Return how a reading that is to be reached was rounded."""
    return f"up to the next scale mark of the dial (they stand {source.dial.label(source.dial.interval)} apart)"


def at_least(shown: Shown) -> Shown:
    """Return a duration with its bound in words, as it stands in a sentence."""
    if shown.value == 0:
        return replace(shown, text=NOTHING_LEFT)
    return shown if shown.text.startswith("more than") else replace(shown, text=f"{AT_LEAST}{shown.text}")


def litres_down(volume: GasCubicMetres, nominal: GasCubicMetres) -> Shown:
    """Return a volume of gas [m3] rounded down, with its bound in words, beside the nominal one [m3].

    >>> litres_down(GasCubicMetres(0.4129), GasCubicMetres(0.5)).text
    'at\\xa0least\\xa0410\\xa0L'
    """
    exact = significant(volume * 1000)
    step = next((step for below, step in _LITRES if exact < below), _MOST_LITRES)
    value = units.round_to(exact, Decimal(step), units.Rounding.DOWN)
    text = f"{AT_LEAST}{units.with_unit(units.group(value), units.SPELLINGS['L'])}" if value else NOTHING_LEFT
    return Shown(text, significant(value), significant(nominal * 1000))
