"""Family figure: curves of what a cylinder holds and how it runs down."""

from __future__ import annotations

from yokebook.calls import contents_curves, reserve_curves
from yokebook.calls.definition import Definition
from yokebook.calls.reserve_arguments import ContentsFigure, ReserveFigure
from yokebook.calls.result import Figure
from yokebook.data.department import Department


def reserve_figure(arguments: ReserveFigure, department: Department) -> Figure:
    """A drawing of how the pressure left in a cylinder falls over time, for several uses, each at its worst."""
    return reserve_curves.figure_of(arguments, department)


def contents_figure(arguments: ContentsFigure, department: Department) -> Figure:
    """A drawing of what two compressed gases hold at the same reading, as oxygen beside 50:50."""
    return contents_curves.figure_of(arguments, department)


CALLS = (
    Definition(
        ReserveFigure,
        reserve_figure,
        'reserve_figure(cylinder="oxygen-e", machine="theatre-1", uses=["bellows", "bag-low-flow"])',
    ),
    Definition(ContentsFigure, contents_figure, 'contents_figure(cylinder="fifty-fifty-d", beside="oxygen-e")'),
)
