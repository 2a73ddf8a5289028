"""Family card: what hangs, laminated, at a machine."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import partial
from typing import Annotated

from pydantic import Field

from yokebook import units
from yokebook.calls import readings, reserve_words, threshold, working
from yokebook.calls.card_sheet import NOT_BELOW, Card, in_a_narrow_column
from yokebook.calls.definition import Definition
from yokebook.calls.draw import Drawn, of_all, taken
from yokebook.calls.refusal import Refusal, both, every
from yokebook.calls.reserve_arguments import CHANGE_RULE, UsesOfCylinder
from yokebook.calls.reserve_change import Rule, change_reading, rule_for
from yokebook.calls.reserve_source import cell, gas, inputs, read
from yokebook.calls.result import Caution, Working
from yokebook.calls.steps import steps_down
from yokebook.calls.supply import Supply
from yokebook.data.department import Department
from yokebook.data.faults import Fault
from yokebook.data.fields import Duration, GaugeAboveZero, Text, one_of
from yokebook.data.machines import Machine
from yokebook.figures import card_layout
from yokebook.figures import dial as drawing
from yokebook.quantities import GaugePa

MOST_ROWS, MOST_USES, MOST_HAZARDS = 7, 3, 4
"""A card is read at arm's length by somebody in a hurry: with the column of readings, four columns."""
_TYPED = re.compile(rf"[0-9][0-9.,]*[ -]?(?:{'|'.join(re.escape(unit.symbol) for unit in units.UNITS)})(?!\w)")
_OTHER_ROWS = 1
"""Where to change: what lies below it is to be changed, so no row says what is left there."""


def _few_on_a_card(card: MachineCard) -> Iterator[Fault]:
    """Yield what is more than a card has room for, whatever its size."""
    most = {"uses": MOST_USES, "flows": MOST_USES, "readings": MOST_ROWS, "hazards": MOST_HAZARDS}
    for name, limit in most.items():
        items = getattr(card, name)
        if items is not None and len(items) > limit:
            wrong = f"{name} has {len(items)} items, more than anybody reads on a card in a hurry"
            yield Fault("E529", wrong, (name,), allowed=f"1 to {limit}")


def _in_words(card: MachineCard) -> Iterator[Fault]:
    """Yield each number with a unit in the author's own words: a laminated card is the last to follow the data."""
    for at, text in (
        (("first",), card.first),
        *((("hazards", number), text) for number, text in enumerate(card.hazards)),
    ):
        if found := _TYPED.search(text):
            wrong = f"{found.group()} is typed by hand: it would stay as it is when the department's data change"
            yield Fault("E562", wrong, at, allowed="words; the numbers of the card stand in its table")


class MachineCard(UsesOfCylinder):
    """The arguments of machine_card."""

    what = "machine_card"
    machine: Text = Field(description="the entry of machines.yaml", examples=['"theatre-1"'])
    time: Duration | None = Field(None, description=CHANGE_RULE, examples=['"15 min"'])
    first: Text = Field(
        description="which cylinder is used first, in the department's words", examples=['"the left one"']
    )
    hazards: tuple[Text, ...] = Field(
        description="what harms on this machine, in few words", examples=['["Ventilate by hand on a cylinder."]']
    )
    readings: tuple[GaugeAboveZero, ...] | None = Field(
        None, description="readings of the rows", examples=['["100 bar"]']
    )
    size: Annotated[str, one_of(tuple(card_layout.SHEETS))] = Field(
        "A6", description="the sheet, on its long side", examples=['"A5"']
    )
    checks = (*UsesOfCylinder.checks, ((), _few_on_a_card), (("first", "hazards"), _in_words))


def machine_card(arguments: MachineCard, department: Department) -> Card:
    """A card to laminate for one machine: its dial, when to change, a short table in large figures, the hazards."""
    source, takes = both(lambda: read(arguments, department), lambda: taken(department, arguments.asked))
    drawn, asked = both(lambda: of_all(takes, source, department), lambda: _asked(source, arguments))
    at_uses = next((name,) for name in ("uses", "flows") if getattr(arguments, name))
    rule = rule_for(source, arguments.time, department)
    found = every(partial(change_reading, source, column, rule, at_uses) for column in drawn)
    *fuller, fewest = (asked,) if asked else _down_to_the_change(source, found)
    for rows in fuller:
        card = _card(source, drawn, rule, found, rows, arguments, department)
        if card_layout.needed_mm(card.words, card_layout.SHEETS[card.size]) <= card_layout.SHEETS[card.size].body_mm:
            return card
    card = _card(source, drawn, rule, found, fewest, arguments, department)
    _refuse_overfull(card)
    return card


def _card(
    source: Supply,
    drawn: tuple[Drawn, ...],
    rule: Rule,
    found: tuple[threshold.Threshold, ...],
    rows: tuple[GaugePa, ...],
    arguments: MachineCard,
    department: Department,
) -> Card:
    """Return the card with a row for each of some readings [Pa], whether its words fit on the sheet or not."""
    dial = _dial(source, found)
    return Card(
        size=arguments.size,
        machine=_head(department.machines[arguments.machine]),
        gas=gas(source),
        draw_dial=partial(drawing.draw, dial),
        dial_words=drawing.words(dial),
        unit=source.dial.unit_text,
        corner=f"Reading ({source.dial.unit_text})",
        readings=tuple(units.group(source.dial.printed(reading)) for reading in rows),
        columns=tuple(column.title for column in drawn),
        cells=tuple(tuple(in_a_narrow_column(cell(source, reading, column)) for column in drawn) for reading in rows),
        changes=tuple(threshold.in_a_cell(source, mark) for mark in found),
        uses=tuple(column.head for column in drawn),
        first=arguments.first,
        hazards=arguments.hazards,
        beside=_sentence(f"{source.stamped}, {reserve_words.on_the_dial(source)}"),
        under=_under(source, drawn, rule),
        condition=f"{reserve_words.worked('down', source, drawn)} Time to change the cylinder is counted "
        f"in the readings to change at, not in the times. {reserve_words.litres_at(department)}",
        working=_working(source, drawn, rows[0], rule, found),
    )


def _asked(source: Supply, arguments: MachineCard) -> tuple[GaugePa, ...]:
    """Return the readings of the rows [Pa] that are asked for, the highest first; none where none are."""
    return readings.of_rows(source, arguments.readings) if arguments.readings is not None else ()


def _down_to_the_change(source: Supply, found: tuple[threshold.Threshold, ...]) -> tuple[tuple[GaugePa, ...], ...]:
    """Return readings for the rows [Pa], many or fewer: steps of the dial down to the lowest reading to change at."""
    dial = source.dial
    top, lowest = dial.printed(readings.full_mark(source)), min(one.mark for one in found)
    most = range(MOST_ROWS - _OTHER_ROWS, 1, -1)
    return tuple(tuple(map(dial.pa, steps_down(top, lowest, dial.interval, rows))) for rows in most)


def _dial(source: Supply, found: tuple[threshold.Threshold, ...]) -> drawing.Dial:
    """Return the machine's dial, its pointer where the use that takes most is to be changed."""
    dial = source.dial
    mark = max(one.mark for one in found)
    return drawing.Dial(
        source.entry.gas, dial.unit_text, dial.low, dial.high, dial.interval, mark, pointer_words="change here"
    )


def _under(source: Supply, drawn: tuple[Drawn, ...], rule: Rule) -> str:
    """Return what stands in small letters under the table: what the numbers are good for, cautions, the condition."""
    temperature = source.physics.temperature
    low, high = (units.shown(end, "°C", "0.1") for end in (temperature.low, temperature.high))
    return " ".join(
        (
            f"{NOT_BELOW}: change before that; {rule.in_hand.text} are then in hand, and {rule.change.text} "
            f"for the change. If below, change at once.{' The dial marks the highest.' if len(drawn) > 1 else ''}",
            *(f"{caution.word}: {caution.text}" for caution in _cautions(source)),
            f"{'; '.join(column.head for column in drawn)}.",
            f"Each tolerance at its worst, cylinder at {low} to {high}, down to a true pressure of {source.kept.text}.",
        )
    )


def _cautions(source: Supply) -> tuple[Caution, ...]:
    return (reserve_words.LOWER_ROW, *reserve_words.of_gas(source), reserve_words.NOT_INSTEAD)


def _working(
    source: Supply,
    drawn: tuple[Drawn, ...],
    first_row: GaugePa,
    rule: Rule,
    found: tuple[threshold.Threshold, ...],
) -> Working:
    dial = source.dial
    shown = cell(source, first_row, drawn[0]).text
    worked = working.worked_duration(source, first_row, drawn[0], f"shown as {shown}")
    lines = (
        working.TIME,
        f"First cell, {drawn[0].title} at {dial.label(dial.printed(first_row))}: {worked}",
        working.TIMES_DOWN,
        threshold.TURNED_ROUND,
        *(
            f"{NOT_BELOW}, {column.title}: {threshold.worked(source, column, mark, rule.total_text)}"
            for column, mark in zip(drawn, found, strict=True)
        ),
        working.sources(source),
    )
    return Working(inputs(source, drawn, *rule.inputs), lines)


def _refuse_overfull(card: Card) -> None:
    """Refuse a card whose words do not fit on its sheet in letters that can be read on it."""
    if len(card.rows) > MOST_ROWS:
        wrong = f"the table has {len(card.rows)} rows with where to change"
        raise Refusal(Fault("E529", wrong, ("readings",), allowed=f"at most {MOST_ROWS} rows in all: fewer readings"))
    sheet = card_layout.SHEETS[card.size]
    needed, room = card_layout.needed_mm(card.words, sheet), sheet.body_mm
    if needed > room:
        wrong = f"these words need {needed:.0f} mm of height, and a card of {card.size} has {room:.0f} mm"
        larger = 'size="A5", or ' if card.size != "A5" else ""
        raise Refusal(
            Fault("E581", wrong, allowed=f"{larger}fewer readings, fewer uses, fewer or shorter hazards; letters are "
                  "never made smaller", example='size="A5"' if larger else 'readings=["100 bar", "50 bar"]')
        )  # fmt: skip


def _sentence(words: str) -> str:
    return f"{_capital(words)}."


def _head(machine: Machine) -> str:
    """Return how a card is headed: with the machine's label as a heading, without its article."""
    return _capital(machine.label.removeprefix("the ")) if machine.label else machine.key


def _capital(words: str) -> str:
    return words[0].upper() + words[1:]


CALLS = (
    Definition(
        MachineCard,
        machine_card,
        'machine_card(cylinder="oxygen-e", machine="theatre-1", uses=["bellows", "bag-low-flow"], time="15 min", '
        'readings=["140 bar", "100 bar", "60 bar", "40 bar"], first="the left one", '
        'hazards=["Ventilate by hand on a cylinder."])',
    ),
)
