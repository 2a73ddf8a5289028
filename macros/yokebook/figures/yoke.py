"""A hanger yoke with its parts numbered, as a schematic section."""

from __future__ import annotations

from yokebook.figures import parts
from yokebook.figures.parts import Drawing, Part

YOKE = Drawing(
    template="yoke.svg",
    title="The parts of a hanger yoke",
    description=(
        "A hanger yoke cut along its middle, the cylinder valve dashed in it. On the left the body of the yoke, with a "
        "nipple that points to the port of the valve, a washer round the nipple, and below it one of the index pins "
        "before its hole in the valve: the pins stand side by side. Inside the body the gas goes through a filter and "
        "a check valve to the machine. On the right the hinge, and through it a retaining screw whose point faces the "
        "back of the valve. Below, on its chain, the plug that closes the yoke when it is empty. A "
        "schematic, not to scale: the parts are turned into one plane."
    ),
    parts=(
        Part("body of the yoke", (62.0, 188.0), (62.0, 188.0)),
        Part("hinge", (322.0, 36.0), (298.0, 84.0)),
        Part("retaining screw", (250.0, 96.0), (250.0, 128.0)),
        Part("nipple", (146.0, 97.0), (124.0, 130.0)),
        Part("sealing washer", (118.0, 97.0), (108.0, 118.0)),
        Part("filter", (86.0, 97.0), (83.0, 130.0)),
        Part("check valve", (52.0, 97.0), (52.0, 128.0)),
        Part("index pins", (140.0, 192.0), (116.0, 177.0)),
        Part("yoke plug", (152.0, 262.0), (120.0, 262.0)),
    ),
    notes=(
        "Arrow: gas to the machine. Dashed: the",
        "valve of the cylinder. The pins stand side",
        "by side; one is shown, with its hole.",
        "A schematic, not to scale.",
    ),
    top=310.0,
)


def draw() -> str:
    """Return the drawing as an SVG text."""
    return parts.draw(YOKE)
