"""How a page stands on the day it is built: its issue, who approved it, since when it is in force, until when."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Any, Self


class State(StrEnum):
    """What a procedure's newest text may be used as."""

    DRAFT = "draft"
    APPROVED = "approved"
    IN_FORCE = "in force"
    SUPERSEDED = "superseded"
    WITHDRAWN = "withdrawn"


@dataclass(frozen=True)
class Approval:
    """One signature: in which role, by whom, on which day."""

    role: str
    name: str
    on: date


@dataclass(frozen=True)
class Withdrawal:
    """Why a procedure or an edition is not to be used, and what to use in its place: a procedure's number, or words."""

    on: date
    reason: str
    instead: str

    @property
    def why(self) -> str:
        """The reason, as a sentence with its full stop.

        >>> Withdrawal(date(2026, 3, 2), "the machine has gone", "CYL-01").why
        'the machine has gone.'
        """
        return self.reason if self.reason.endswith((".", "!", "?")) else f"{self.reason}."

    @property
    def as_text(self) -> str:
        """Return it in words.

        >>> Withdrawal(date(2026, 3, 2), "the machine has gone", "CYL-01").as_text
        'Withdrawn on 2026-03-02: the machine has gone. Use instead: CYL-01'
        """
        return f"Withdrawn on {self.on}: {self.why} Use instead: {self.instead}"

    def as_plain(self) -> dict[str, str]:
        """Return it as plain texts, as files hold it."""
        return {"on": self.on.isoformat(), "reason": self.reason, "instead": self.instead}

    @classmethod
    def from_plain(cls, plain: Mapping[str, Any]) -> Self:
        """Return what plain texts hold.

        >>> told = Withdrawal(date(2026, 3, 2), "the machine has gone", "CYL-01")
        >>> Withdrawal.from_plain(told.as_plain()) == told
        True
        """
        return cls(date.fromisoformat(plain["on"]), str(plain["reason"]), str(plain["instead"]))


@dataclass(frozen=True)
class Standing:
    """What the head of a page says about it. `issue` is None for a page that was never approved."""

    procedure: str
    title: str
    state: State
    owner: str
    issue: int | None = None
    approvals: tuple[Approval, ...] = ()
    in_force_since: date | None = None
    review_due: date | None = None
    reason: str = ""
    incident: str = ""
    withdrawal: Withdrawal | None = None


@dataclass(frozen=True)
class EditionMark:
    """Which edition a page belongs to: its number and the day from which it is in force; neither for a draft."""

    number: int | None = None
    in_force: date | None = None

    @property
    def folder(self) -> str:
        """The name of its folder below `editions/`.

        >>> EditionMark(7).folder, EditionMark().folder
        ('0007', 'draft')
        """
        return "draft" if self.number is None else f"{self.number:04}"


DRAFT = EditionMark()
"""What a plain build makes: no edition yet."""
