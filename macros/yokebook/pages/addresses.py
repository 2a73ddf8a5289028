"""From the way to an author's file to the address of its page: a link to `page.md` leads to `page.html`."""

from __future__ import annotations

import re

_TO_PAGE = re.compile(r'(<a\b[^<>]*?\shref=")([^":?#]+)\.md(?=["#])')
_STANDS_FOR_ITS_FOLDER = re.compile(r"(^|/)README$")


def page_address(path: str) -> str:
    """Return the address of a page's file, both below the root; a folder's README is its index.

    >>> page_address("procedures/plug.md"), page_address("procedures/README.md")
    ('procedures/plug.html', 'procedures/index.html')
    """
    return _STANDS_FOR_ITS_FOLDER.sub(r"\1index", path.removesuffix(".md")) + ".html"


def way_to_root(address: str) -> str:
    """Return the way from a page's address in its edition to the root of the target, two folders above the edition.

    >>> way_to_root("index.html"), way_to_root("procedures/plug.html")
    ('../../', '../../../')
    """
    return "../" * (address.count("/") + 2)


def lead_to_pages(html: str) -> str:
    """Return a page's HTML with its links to authors' files leading to their pages.

    >>> lead_to_pages('<a href="../plug.md#steps">plug</a>')
    '<a href="../plug.html#steps">plug</a>'
    """
    return _TO_PAGE.sub(lambda found: found[1] + page_address(f"{found[2]}.md"), html)
