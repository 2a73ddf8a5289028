"""Workings on a page of their own beside the page whose numbers they explain.

Who acts on a number at night loads and prints none of its working; who checks it has all of a page's workings together.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from html import escape

_PART = re.compile(
    r"<caption>(?P<caption>.*?)</caption>"
    r'|<details class="yb-working">\s*<summary>(?P<summary>.*?)</summary>(?P<body>.*?)</details>',
    re.DOTALL,
)


@dataclass(frozen=True)
class Apart:
    """A page without its workings, and the HTML of the page that has them ("" where it has none)."""

    html: str
    workings: str


def workings_path(path: str) -> str:
    """Return the path of the page of workings beside a page.

    >>> workings_path("reference/theatre-1.md")
    'reference/theatre-1.workings.md'
    """
    return path.removesuffix(".md") + ".workings.md"


def set_apart(html: str, path: str, title: str) -> Apart:
    """Return a page's HTML with a link in the place of each working, and the page of workings; `path` is its file's."""
    name = path.rpartition("/")[2].removesuffix(".md")
    captions, sections = [""], list[str]()

    def linked(part: re.Match[str]) -> str:
        if part["body"] is None:
            captions.append(part["caption"])
            return part[0]
        anchor = f"working-{len(sections) + 1}"
        # What no table heads is told by its own words.
        heading = captions.pop() or part["summary"]
        captions[:] = [""]
        # Quotes stand here in text alone, where they need no entity; keys are full of them.
        body = part["body"].replace("&#34;", '"').replace("&#39;", "'")
        sections.append(f'<section class="yb-working">\n<h2 id="{anchor}">{heading}</h2>{body}</section>\n')
        return f'<p class="yb-to-working"><a href="{name}.workings.html#{anchor}">{part["summary"]}</a></p>'

    without = _PART.sub(linked, html)
    if not sections:
        return Apart(html, "")
    heading = f"<h1>{escape(workings_title(title))}</h1>\n"
    back = f'<p>For who checks the numbers of <a href="{name}.html">{escape(title)}</a>.</p>\n'
    return Apart(without, heading + back + "".join(sections))


def workings_title(title: str) -> str:
    """Return what heads the page of workings of a page.

    >>> workings_title("Conversions")
    'Workings: Conversions'
    """
    return f"Workings: {title}"
