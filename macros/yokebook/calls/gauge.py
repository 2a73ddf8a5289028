"""Family gauge: what a dial shows."""

from __future__ import annotations

from pydantic import Field

from yokebook.calls.arguments import Arguments
from yokebook.calls.definition import Definition
from yokebook.calls.dial import dial_face, refuse_off_dial
from yokebook.calls.refusal import pick
from yokebook.calls.result import Figure
from yokebook.data.department import Department
from yokebook.data.fields import Gauge, Text
from yokebook.figures import dial as drawing
from yokebook.numbers import Shown


class GaugeFigure(Arguments):
    """The arguments of gauge_figure."""

    what = "gauge_figure"
    gauge: Text = Field(description="the entry of gauges.yaml", examples=['"yoke-oxygen"'])
    gas: Text = Field(description="the gas whose name stands on the dial", examples=['"oxygen"'])
    reading: Gauge = Field(description="where the pointer stands", examples=['"70 bar"'])


def gauge_figure(arguments: GaugeFigure, department: Department) -> Figure:
    """A drawing of a gauge's dial, with its own unit, span and scale interval, at a reading."""
    dial = dial_face(pick(department, "gauges", arguments.gauge, ("gauge",)))
    refuse_off_dial(dial, arguments.reading.pa, ("reading",))
    printed = dial.printed(arguments.reading.pa)
    drawn = drawing.Dial(arguments.gas, dial.unit_text, dial.low, dial.high, dial.interval, printed)
    svg = drawing.draw(drawn)
    title = f"Dial of the {arguments.gas} gauge {dial.gauge.key} at {dial.label(printed)}"
    keys = tuple(dial.key(field) for field in ("dial_multiplier", "scale_interval", "span", "unit"))
    words = drawing.words(drawn)
    return Figure(svg, title, Shown(dial.label(printed), printed, printed), dial.unit_text, keys, words)


CALLS = (Definition(GaugeFigure, gauge_figure, 'gauge_figure(gauge="yoke-oxygen", gas="oxygen", reading="70 bar")'),)
