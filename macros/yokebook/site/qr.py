"""The way from a sheet of paper to the same procedure as it is now: its stable address, in words and as a QR code."""

from __future__ import annotations

import segno

_QUIET_ZONE_MODULES = 4
"""White round the code on each side (ISO/IEC 18004: four modules)."""


def stable_address(base_url: str, procedure: str) -> str:
    """Return where a procedure is found, whatever edition is in force.

    >>> stable_address("https://procedures.example/yokes/", "CYL-01")
    'https://procedures.example/yokes/go/cyl-01.html'
    """
    return f"{base_url.rstrip('/')}/go/{procedure.lower()}.html"


def drawing(address: str) -> str:
    """Return the QR code of an address as an SVG element, black on white, with no style that a page would refuse.

    Error correction M: a stain on a tenth of it does no harm. The same address gives the same code.
    """
    code = segno.make_qr(address, error="m", boost_error=False)
    return code.svg_inline(
        border=_QUIET_ZONE_MODULES,
        dark="#000000",
        light="#ffffff",
        title=f"QR code of {address}",
        omitsize=True,
        svgclass=None,
        lineclass=None,
    )
