"""The table below a drawing of numbered parts: what each does, and what follows when it is bad."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from yokebook.calls.result import Caution, Table, Working
from yokebook.figures import parts
from yokebook.figures.parts import Drawing
from yokebook.number_list import Shown
from yokebook.units import Rounding

_SOURCE = "Source: common practice of the trade; no document was read for it."


def parts_table(
    drawing: Drawing, told: Mapping[str, tuple[str, str]], of_what: str, when_bad: str, cautions: Sequence[Caution]
) -> Table:
    """Return the table of a drawing's parts.

    `told` has what each part does and what follows when it is bad, by its name; `of_what` such as "a hanger yoke" and
    `when_bad` such as "what follows" head them; a drawing is of no particular one of its kind.
    """
    kind = of_what.split()[-1]
    return Table(
        caption=f"The parts of {of_what}, and {when_bad} when each is bad",
        condition=f"A schematic, not to scale: {kind}s differ. The manufacturer's instructions come first.",
        corner="Part",
        rows=parts.numbered_names(drawing.parts),
        columns=("What it does", f"{when_bad[0].upper()}{when_bad[1:]} when it is bad"),
        cells=tuple((Shown(does), Shown(bad)) for does, bad in (told[part.name] for part in drawing.parts)),
        unit="",
        rounding=Rounding.NEAREST,
        cautions=tuple(cautions),
        working=Working((), (_SOURCE,)),
    )
