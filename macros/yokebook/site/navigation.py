"""Navigation whose size on a page does not grow with the number of pages: the way to the page, and its neighbours."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from mkdocs.structure import StructureItem
from mkdocs.structure.nav import Navigation, Section
from mkdocs.structure.pages import Page

MOST_NEIGHBOURS = 50


@dataclass(frozen=True)
class Entry:
    """One line of the navigation: a page, or a section by its first page; `below` only where the page is within it."""

    title: str
    page: Page
    is_here: bool
    is_open: bool
    below: tuple[Entry, ...] = ()


class Navigator:
    """Knows each item's place among its neighbours, worked out once for the whole site."""

    def __init__(self, navigation: Navigation) -> None:
        self._top: Sequence[StructureItem] = navigation.items
        self._index: dict[int, int] = {}
        self._count(self._top)

    def _count(self, items: Sequence[StructureItem]) -> None:
        for index, item in enumerate(items):
            self._index[id(item)] = index
            self._count(_children(item))

    def around(self, page: Page) -> tuple[Entry, ...]:
        """Return what the navigation of a page shows: at most 50 neighbours on each level of the way to it."""
        way = [*reversed(list(page.ancestors)), page]
        return self._level(self._top, page, way)

    def _level(self, items: Sequence[StructureItem], page: Page, way: Sequence[StructureItem]) -> tuple[Entry, ...]:
        here = self._index.get(id(way[0]), 0)
        start = max(0, min(here - MOST_NEIGHBOURS // 2, len(items) - MOST_NEIGHBOURS))
        return tuple(
            self._entry(item, page, way) for item in items[start : start + MOST_NEIGHBOURS] if first_page(item)
        )

    def _entry(self, item: StructureItem, page: Page, way: Sequence[StructureItem]) -> Entry:
        is_open = item is way[0] and isinstance(item, Section)
        below = self._level(_children(item), page, way[1:]) if is_open else ()
        first = first_page(item)
        assert first is not None
        return Entry(item.title or "", first, item is page, is_open, below)


def as_home_lists(items: Sequence[StructureItem], home: str) -> list[StructureItem]:
    """Return items in the order in which the home page, whose HTML this is, first leads to them; the others after.

    So what a department puts first on its home page stands first beside each page.
    """

    def place(item: StructureItem) -> tuple[int, int]:
        page = first_page(item)
        if page is None or page.is_homepage:
            return 0, 0
        at = place_on(home, page.url)
        return (1, at) if at >= 0 else (2, 0)

    return sorted(items, key=place)


def place_on(home: str, address: str) -> int:
    """Return where the home page, whose HTML this is, first leads to a page's folder or to the page; -1 for nowhere.

    >>> place_on('<a href="procedures/plug.html">', "procedures/gauge.html"), place_on("", "writing/calls.html")
    (3, -1)
    """
    folder, slash, _ = address.partition("/")
    return home.find(f'href="{folder}{slash}')


def _children(item: StructureItem) -> Sequence[StructureItem]:
    return item.children if isinstance(item, Section) else ()


def first_page(item: StructureItem) -> Page | None:
    """Return the page that an item leads to: itself, or the first page below it; None where there is none."""
    if isinstance(item, Page):
        return item
    return next((found for child in _children(item) if (found := first_page(child))), None)
