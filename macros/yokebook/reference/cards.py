"""Laminated cards against the reference as it is now: which copies are to be taken down, and what moved on them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from yokebook.control import cards as register
from yokebook.control.as_read import PageAsRead
from yokebook.control.cards import Card, Cards, read_cards
from yokebook.control.comparison import PageChanges, as_lines, compare_pages
from yokebook.control.reading import CARDS
from yokebook.control.records import Records
from yokebook.data.faults import Fault
from yokebook.errors import Level, Problem
from yokebook.pages.addresses import page_address
from yokebook.pages.page import read_page
from yokebook.pages.syntax import Call
from yokebook.reference.generated import GeneratedPage
from yokebook.reference.layout import CONTROL, PAGES
from yokebook.reference.pages_as_read import as_read
from yokebook.reference.unfit_words import people_in
from yokebook.templates import render
from yokebook.yamlfile import Scalar

if TYPE_CHECKING:
    from yokebook.reference.approval import Control
    from yokebook.reference.whole import WorkedPage

PAGE = "cards-to-take-down.md"
TITLE = "Cards to take down"
_PLACES = "where it hangs, in places and roles; other words where it is no person"
_PLACE = "left column, at the height of the gauges"
_TO_SIGN = "Removed by ____________________ on ______________"


@dataclass(frozen=True)
class TakeDown:
    """One copy that is to be taken down: what moved since its issue, the new issue (None where there is none).

    `changes` is None where what its issue said is no longer known.
    """

    card: Card
    procedure: str
    title: str
    address: str
    new_issue: int | None
    why: str
    changes: PageChanges | None = None


def cards_of(control: Control) -> Cards:
    """Return the register of cards; what is wrong in it is told by `check`."""
    return read_cards(control.folder, CONTROL)[0]


def check(control: Control) -> list[Problem]:
    """Return every problem of the register of cards, and a warning for each copy that is to be taken down."""
    cards, problems = read_cards(control.folder, CONTROL)
    problems += _no_register(control)
    department = control.reference.department
    if department and not control.reference.problems.stops_the_build:
        pages = {
            path.removeprefix(f"{register.FOLDER}/").removesuffix(".md"): worked
            for path, worked in control.reference.pages.items()
            if path.startswith(f"{register.FOLDER}/")
        }
        known = {
            name: register.CardPage(_issues_of(worked.page.front.procedure or "", control.records), _machines(worked))
            for name, worked in pages.items()
        }
        problems += register.check(cards, known, department.machines)
        problems += _still_hanging(cards, control)
        problems += _people_in_places(cards, control)
    return problems


def _people_in_places(cards: Cards, control: Control) -> Iterator[Problem]:
    """Yield what looks like a person in a place, which readers see on the page of cards to take down."""
    for index, card in enumerate(cards.cards):
        worked = control.reference.pages.get(card.path)
        for found in people_in(card.place, worked.page.front.not_a_person if worked else ()):
            wrong = f"{found.wrong} ({found.written}), and readers see it on the page of cards to take down"
            fault = Fault(found.code, wrong, allowed=_PLACES, example=_PLACE)
            yield cards.problem(index, "place", fault)


def _machines(worked: WorkedPage) -> tuple[str, ...]:
    """Return the machines that a card's page is for: those of its calls, else those of its front matter."""
    arguments = [call.arguments.values.get("machine") for call in worked.page.calls if isinstance(call, Call)]
    named = {argument.text for argument in arguments if isinstance(argument, Scalar)}
    return tuple(sorted(named)) or worked.page.front.machines


def _no_register(control: Control) -> Iterator[Problem]:
    """Yield a warning where an edition holds cards, and nothing says any more which copies of them hang where."""
    published = control.records.published.to_use
    if published is None or (control.folder / CARDS).exists():
        return
    held = [
        worked.page.front.procedure
        for path, worked in sorted(control.reference.pages.items())
        if path.startswith(f"{register.FOLDER}/") and worked.page.front.procedure in published.issues
    ]
    if held:
        wrong = f"edition {published.number} holds cards ({', '.join(filter(None, held))}), and there is no register: "
        wrong += "nobody is told which copies are to be taken down"
        allowed = "the file from a copy of this folder; or one without cards, where no card hangs anywhere"
        at = (f"{CONTROL}/{CARDS}", 0, 0)
        yield Problem(*at, Level.WARNING, "W752", wrong, allowed=allowed, example="cards: []")


def _issues_of(procedure: str, records: Records) -> int:
    record = records.procedures.get(procedure)
    return record.newest.number if record else 0


def _still_hanging(cards: Cards, control: Control) -> Iterator[Problem]:
    """Yield a warning for each copy of what was withdrawn, or of an issue that a published edition superseded."""
    published = control.records.published.to_use
    for one in to_take_down(control):
        wrong = f"copy {one.card.copy_number} at {one.card.machine} is of issue {one.card.issue}, and {one.why}"
        if one.new_issue is None:
            if not one.procedure:
                continue  # a card without a page is an error already
            allowed = "take it down, then take this entry out"
        elif published and published.issues.get(one.procedure) == one.new_issue:
            allowed = f"once issue {one.new_issue} is in force: take this copy down, hang issue {one.new_issue} there, "
            allowed += f"then write here: issue: {one.new_issue}"
        else:
            continue
        index = cards.cards.index(one.card)
        yield cards.problem(index, "issue", Fault("W751", wrong, allowed=allowed))


def to_take_down(control: Control) -> list[TakeDown]:
    """Return the registered copies whose content moved since their issue, by card, machine and copy."""
    told = (_to_take_down(card, control) for card in cards_of(control).cards)
    return sorted(filter(None, told), key=_by_card)


def _to_take_down(card: Card, control: Control) -> TakeDown | None:
    worked = control.reference.pages.get(card.path)
    if worked is None:
        return TakeDown(card, "", card.card, "", None, "its page is no longer there")
    number, title, address = worked.page.front.procedure or "", worked.page.front.title, page_address(card.path)
    record = control.records.procedures.get(number)
    if record is None or card.issue > len(record.issues):
        return None
    if record.withdrawn:
        return TakeDown(card, number, title, address, None, f"it was withdrawn: {record.withdrawn.reason}")
    newest = record.newest.number
    if card.issue == newest:
        return None
    hangs, now = _approved(card.issue, control, number), as_read(worked)
    if hangs is None:
        return TakeDown(card, number, title, address, newest, "what it said is no longer known")
    changes = compare_pages(hangs, now)
    begins = control.standings[number].in_force_since or control.reference.edition.in_force
    why = f"what it says moved in issue {newest}" + (f", in force from {begins}" if begins else "")
    return TakeDown(card, number, title, address, newest, why, changes) if changes else None


def withdrawn_with(site: Path, procedure: str, reason: str) -> list[TakeDown]:
    """Return each registered copy of a card that has just been withdrawn, whatever else is wrong with the pages."""
    found = []
    for card in read_cards(site / CONTROL, CONTROL)[0].cards:
        file = site / PAGES / card.path
        draft = read_page(card.path, card.path, file.read_bytes())[0] if file.is_file() else None
        if draft and draft.front and draft.front.procedure == procedure:
            address, title = page_address(card.path), draft.front.title
            found.append(TakeDown(card, procedure, title, address, None, f"it was withdrawn: {reason}"))
    return sorted(found, key=_by_card)


def _by_card(one: TakeDown) -> tuple[str, str, int]:
    return one.card.card, one.card.machine, one.card.copy_number


def _approved(issue: int, control: Control, number: str) -> PageAsRead | None:
    approved = control.as_approved(number, control.records.procedures[number].issues[issue - 1])
    return approved.page if approved else None


def as_text(found: Sequence[TakeDown]) -> str:
    """Return the copies to take down, with what moved on each and a line to sign, for a terminal."""
    if not found:
        return "No card is to be taken down.\n"
    blocks = ["\n".join(_lines(one)) for one in found]
    return "Cards to take down:\n\n" + "\n\n".join(blocks) + "\n"


def _lines(one: TakeDown) -> Iterator[str]:
    card = one.card
    yield f"{one.procedure}  {one.title} ({card.card}), copy {card.copy_number}".strip()
    yield f"  at {card.machine}: {card.place}"
    yield f"  issue {card.issue} → {f'issue {one.new_issue}' if one.new_issue else 'none'}: {one.why}"
    if one.changes:
        yield from (f"  {line}" for line in as_lines(one.changes)[1:])
    yield f"  {_TO_SIGN}"


def page(found: Sequence[TakeDown], called: Callable[[str], str] = str) -> GeneratedPage:
    """Return the copies to take down as a page to print and to sign; `called` gives what readers call a machine."""
    return GeneratedPage(PAGE, TITLE, render("cards_to_take_down.html", found=found, called=called))
