"""Laminated machine cards as controlled copies: `cards.yaml` says which copy hangs where, and of which issue it is."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from pydantic import Field

from yokebook import yamlfile
from yokebook.control.reading import CARDS
from yokebook.control.records import WholeNumber
from yokebook.data.entry import Entry
from yokebook.data.entry_names import nearest_entry
from yokebook.data.faults import Fault
from yokebook.data.fields import Text
from yokebook.data.load import read_tree
from yokebook.data.problems import read_entry
from yokebook.data.sources import problem_at
from yokebook.errors import Problem, ProblemError, nearest

FOLDER = "cards"
"""Where the pages of cards lie, below the folder of pages."""


class Card(Entry):
    """One laminated copy of a card."""

    what = "a card"
    card: Text = Field(description="the name of its page in cards/", examples=["theatre-1-oxygen"])
    machine: Text = Field(description="the machine at which it hangs", examples=["theatre-1"])
    place: Text = Field(description="where on the machine", examples=["left column, at the height of the gauges"])
    copy_number: WholeNumber = Field(alias="copy", description="1, 2, 3 and so on", examples=["1"])
    issue: WholeNumber = Field(description="the issue that hangs there", examples=["1"])

    @property
    def path(self) -> str:
        """The path of its page below the folder of pages."""
        return f"{FOLDER}/{self.card}.md"


def _each_copy_once(register: CardsRecord) -> Iterator[Fault]:
    first: dict[tuple[str, int], int] = {}
    for index, card in enumerate(register.cards):
        before = first.setdefault((card.card, card.copy_number), index)
        if before != index:
            wrong = f"copy {card.copy_number} of {card.card} is registered already, at {register.cards[before].machine}"
            taken = [other.copy_number for other in register.cards if other.card == card.card]
            example = f"copy: {max(taken) + 1}"
            allowed = "each copy once, with a number of its own"
            yield Fault("E752", wrong, ("cards", index, "copy"), allowed=allowed, example=example)


class CardsRecord(Entry):
    """`cards.yaml`: the register of laminated cards."""

    what = "cards.yaml"
    cards: tuple[Card, ...] = Field(
        description="each copy that hangs somewhere",
        examples=["\n  - {card: theatre-1-oxygen, machine: theatre-1, place: left column, copy: 1, issue: 1}"],
    )
    checks = ((("cards",), _each_copy_once),)


@dataclass(frozen=True)
class Cards:
    """The register of cards as read; `tree` has where each key stands."""

    file: str
    cards: tuple[Card, ...] = ()
    tree: yamlfile.Mapping | None = None

    def problem(self, index: int, key: str, fault: Fault) -> Problem:
        """Return a fault at one key of the card at a place in the register."""
        return problem_at(self.tree, self.file, ("cards", index, key), fault)


def read_cards(folder: Path, shown_as: str) -> tuple[Cards, list[Problem]]:
    """Return the cards registered below the folder of records, which problems call `shown_as`, with every problem.

    A department without laminated cards has no such file.
    """
    file = f"{shown_as}/{CARDS}"
    try:
        tree = read_tree(folder / CARDS, file)
    except FileNotFoundError:
        return Cards(file), []
    except ProblemError as error:
        return Cards(file), list(error.problems)
    register, problems = read_entry(CardsRecord, tree, file)
    return Cards(file, register.cards if register else (), tree), problems


@dataclass(frozen=True)
class CardPage:
    """What a card's page says of it: how many issues it has had, the machines that it is for (none: any machine)."""

    issues: int
    machines: tuple[str, ...] = ()


def check(cards: Cards, pages: Mapping[str, CardPage], machines: Collection[str]) -> Iterator[Problem]:
    """Yield what leads nowhere: a card without a page, a machine that there is not, an issue that never was.

    And a card that hangs at another machine than its numbers are for. `pages` are by the names of the cards.
    """
    for index, card in enumerate(cards.cards):
        if card.card not in pages:
            yield cards.problem(index, "card", _no_page(card.card, pages))
        elif card.issue > (last := pages[card.card].issues):
            wrong = f"{card.card} has had {last or 'no'} issue{'s' * (last != 1)}, so no copy is of issue {card.issue}"
            had = f": {'1 to ' * (last > 1)}{last}" if last else ", once it is approved"
            allowed = f"the issue that is printed on the copy{had}"
            yield cards.problem(index, "issue", Fault("E753", wrong, allowed=allowed))
        if card.machine not in machines:
            wrong, meant = "machines.yaml has no such machine", nearest_entry(card.machine, machines)
            fault = Fault("E512", wrong, allowed=", ".join(machines), suggestion=meant)
            yield cards.problem(index, "machine", fault)
        elif card.card in pages and pages[card.card].machines and card.machine not in pages[card.card].machines:
            meant = ", ".join(pages[card.card].machines)
            wrong = f"{card.card} is worked out for {meant}, and its numbers are wrong at another machine"
            allowed = f"{meant}; or a card of its own for {card.machine}"
            yield cards.problem(index, "machine", Fault("E754", wrong, allowed=allowed))


def _no_page(name: str, pages: Collection[str]) -> Fault:
    wrong = f"content/pages/{FOLDER} has no page {name}.md"
    allowed = ", ".join(sorted(pages)) or "a card that has a page; there is none yet"
    return Fault("E751", wrong, allowed=allowed, suggestion=nearest(name, pages))
