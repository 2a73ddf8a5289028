"""The command by which procedures are approved: it shows what moved, asks, and writes the record."""

from __future__ import annotations

import sys
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from yokebook.cli.options import (
    DAY,
    GOOD,
    PROBLEMS,
    agreed,
    site_folder,
    site_option,
    today,
)

if TYPE_CHECKING:
    from yokebook.reference.approving import Proposal
    from yokebook.reference.signer import Signer
    from yokebook.reference.whole import Reference


@click.command()
@site_option
@click.argument("procedures", nargs=-1)
@click.option("--role", help="The role in which you approve, as department.yaml names it.")
@click.option("--name", help="Your name.")
@click.option("--on", type=DAY, help="The day on which it is given, today or earlier, such as 2026-03-02.")
@click.option("--reason", help="Why the page was changed, in a sentence.")
@click.option("--incident", help="The incident that led to it, by the name of its page.")
@click.option("--review", type=DAY, help="When it is due to be looked at again; default: after review_interval.")
@click.option("--unchanged", is_flag=True, help="Write down a review that found nothing to change.")
@click.option("--wording", help="Renew every page where only the program's own words moved; the reason.")
@click.option("--yes", is_flag=True, help="Do not ask; approve what is shown.")
def approve(site: Path, procedures: tuple[str, ...], wording: str | None, unchanged: bool, **asked: Any) -> None:
    """Approve procedures: show what moved since the last issue, ask, and write the record.

    For example: yokebook approve CYL-01 --role approver --name "A. Example" --on 2026-03-02
    """
    if bool(procedures) == (wording is not None):
        raise click.UsageError("give the numbers of procedures, such as CYL-01, or --wording with a reason")
    if (unchanged or wording is not None) and (asked["reason"] or asked["incident"]):
        raise click.UsageError(
            "--unchanged and --wording take no --reason and no --incident, and would drop them. To name an incident "
            "that a page answers as it stands: the same without --unchanged, with --incident and --reason"
        )
    from yokebook.control.writing import ChangedError
    from yokebook.reference import approving, report
    from yokebook.reference.approval import work_out_with_records

    control = work_out_with_records(site_folder(site))
    if control.reference.problems.stops_the_build:
        click.echo(report.as_text(control.reference.problems, control.reference.lines_of), nl=False)
        click.echo("Nothing was approved.")
        sys.exit(PROBLEMS)
    refused: list[str] = []
    try:
        if wording is None:
            proposals = approving.propose(control, procedures, unchanged=unchanged, incident=asked["incident"] or "")
        else:
            proposals, refused = approving.propose_wording(control)
        _show_proposals(proposals, refused)
        if proposals:
            signer = _signer(control.reference, proposals, wording, asked)
            made = [approving.sign(control, proposal, signer, today()) for proposal in proposals]
            agreed("Approve this?", yes=asked["yes"])
            for proposal, record in zip(proposals, made, strict=True):
                record.write(control.folder)
                click.echo(f"{proposal.procedure}: {approving.outcome(control, proposal, signer)}")
    except approving.RefusedError as error:
        raise click.UsageError(str(error)) from None
    except ChangedError as error:
        again = "Give the command again for what was not approved: it shows first how things stand"
        raise click.UsageError(f"{error.filename} was not written: {error.strerror}. {again}.") from None
    except OSError as error:
        raise click.UsageError(f"{error.filename} cannot be written: {error.strerror}") from None
    sys.exit(PROBLEMS if refused or not proposals else GOOD)


def _show_proposals(proposals: Sequence[Proposal], refused: Sequence[str]) -> None:
    for proposal in proposals:
        click.echo("\n".join([*proposal.lines, ""]))
    if refused:
        click.echo("\n".join(["Not renewed; these want an approval of their own:", *refused, ""]))
    if not proposals:
        click.echo("Nothing was approved.")


def _signer(
    reference: Reference, proposals: Sequence[Proposal], wording: str | None, asked: Mapping[str, Any]
) -> Signer:
    """Return who approves, what was not given asked for: on a terminal alone."""
    from yokebook.reference.signer import Signer

    assert reference.department
    roles = click.Choice(tuple(reference.department.settings.roles))
    role = _given("role", asked, "In which role", type=roles)
    name = _given("name", asked, "Your name")
    on = _given("on", asked, "On which day (such as 2026-03-02)", type=DAY).date()
    reason, incident = wording or "", ""
    if wording is None and any(proposal.wants_reason for proposal in proposals):
        reason = _given("reason", asked, "Why it was changed")
        incident = _given("incident", asked, "After which incident (none: just Enter)", default="", show_default=False)
    review = asked["review"].date() if asked["review"] else None
    return Signer(role, name, on, reason, incident, review)


def _given(option: str, asked: Mapping[str, Any], question: str, **prompt: Any) -> Any:
    if asked[option] is not None:
        return asked[option]
    if sys.stdin.isatty():
        return click.prompt(question, **prompt)
    if "default" in prompt:
        return prompt["default"]
    raise click.UsageError(f"nobody is there to be asked: give --{option}")
