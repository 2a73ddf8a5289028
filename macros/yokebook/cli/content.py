"""Commands for who writes: checking, building, previewing, trying a call, beginning a department or an incident."""

from __future__ import annotations

import gc
import sys
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from yokebook.cli.options import (
    DAY,
    GOOD,
    PROBLEMS,
    each_step,
    site_and_format,
    site_folder,
    site_option,
    today,
)

if TYPE_CHECKING:
    from yokebook.errors import ProblemError


@click.command()
@site_and_format
def check(site: Path, form: str) -> None:
    """Find all problems in data and pages; change nothing of yours."""
    gc.disable()  # a short run: looking for garbage would take longer than it saves
    from yokebook.reference import days, report
    from yokebook.reference.approval import work_out_with_records
    from yokebook.reference.unlikely_days import unlikely_days

    control, day = work_out_with_records(site_folder(site)), today()
    reference = control.reference
    if not reference.problems.stops_the_build:
        authored = (worked.page for worked in reference.pages.values())
        reference.problems.add(*days.still_to_come_in(control.records, authored, day))
    reference.problems.add(*unlikely_days(reference, day))
    if form == "json":
        register = report.register_json(control.register, day)
        click.echo(report.as_json(reference.problems, pages=reference.summary(), register=register), nl=False)
    else:
        if control.register and not reference.problems.stops_the_build:
            click.echo(report.register_text(control.register, day))
        click.echo(report.as_text(reference.problems, reference.lines_of), nl=False)
    sys.exit(PROBLEMS if reference.problems.stops_the_build else GOOD)


@click.command()
@site_and_format
@click.option(
    "--into", type=click.Path(path_type=Path), help="Folder of the built site; default: site, beside mkdocs.yml."
)
@click.option("--pdf", "with_pdf", is_flag=True, help="Make PDFs as well: of each procedure, each card, and the whole.")
def build(site: Path, form: str, into: Path | None, with_pdf: bool) -> None:
    """Build the site; where anything is wrong, leave the old one as it is."""
    from yokebook.reference import report
    from yokebook.reference.assembling import assembled
    from yokebook.site.build import DEFAULT_FOLDER
    from yokebook.site.build import build as build_site

    reference = assembled(site_folder(site))
    into = (into or site / DEFAULT_FOLDER).resolve()
    told = each_step("PDF of {}") if with_pdf else None
    if not reference.problems.stops_the_build and (failure := build_site(reference, into, told)):
        reference.problems.add(failure)
    stopped = reference.problems.stops_the_build
    start = into / "index.html"
    if form == "json":
        click.echo(report.as_json(reference.problems, site=None if stopped else str(start)), nl=False)
    else:
        click.echo(report.as_text(reference.problems, reference.lines_of), nl=False)
        click.echo(
            "Nothing was built; the site that was there is as it was."
            if stopped
            else f"Built. Open {start} in a browser."
        )
    sys.exit(PROBLEMS if stopped else GOOD)


@click.command()
@site_option
@click.option(
    "--port", type=click.IntRange(1, 65535), default=8000, show_default=True, help="Where the browser finds it."
)
def preview(site: Path, port: int) -> None:
    """Show the pages in a browser and build them again whenever a page or a data file is saved."""
    from yokebook.site.preview import preview as run_preview

    try:
        served = run_preview(site_folder(site).resolve(), port, click.echo)
    except OSError as error:
        raise click.UsageError(
            f"port {port} cannot be used ({error.strerror}); give another one: --port 8001"
        ) from None
    sys.exit(GOOD if served else PROBLEMS)


@click.command("start")
@click.argument("folder", type=click.Path(path_type=Path))
def start_(folder: Path) -> None:
    """Lay out a new department in a folder: its data to fill in, a first page, the site's configuration."""
    from yokebook.errors import ProblemError
    from yokebook.reference.start import start

    try:
        start(folder)
    except FileExistsError:
        raise click.UsageError(f"{folder} holds something already; give a new or an empty folder") from None
    except ProblemError as error:
        _refused(error)
    click.echo(f"Put your own values into {folder / 'content' / 'data'}, then run: yokebook check --site {folder}")


@click.command()
@site_option
@click.argument("name")
@click.option("--title", required=True, help="What happened, in a few words; nobody's name.")
@click.option("--happened", required=True, type=DAY, help="The day, such as 2026-02-03.")
def incident(site: Path, name: str, title: str, happened: datetime) -> None:
    """Open an incident: a page in content/pages/incidents, from a template.

    NAME is how records speak of it: small letters, digits and hyphens, such as ran-out-on-the-way.
    """
    from yokebook.data.fields import NAME
    from yokebook.errors import ProblemError
    from yokebook.reference.new_incident import open_incident

    if not NAME.fullmatch(name):
        raise click.UsageError(f"{name} is no name for an incident: small letters, digits and hyphens alone")
    try:
        path = open_incident(site_folder(site), name, title, happened.date(), today())
    except FileExistsError:
        raise click.UsageError(f"there is an incident of the name {name} already") from None
    except ProblemError as error:
        _refused(error)
    click.echo(f"Opened {path}. Write there what happened, then: yokebook check")


def _refused(error: ProblemError) -> NoReturn:
    from yokebook.reference import report

    click.echo(report.as_text(error.problems, lambda _: ()), nl=False)
    sys.exit(PROBLEMS)


@click.command("try")
@site_and_format
@click.argument("call")
def try_(site: Path, form: str, call: str) -> None:
    """Work out one call and print it; the list of numbers of that call with --format json.

    For example: yokebook try 'reserve_table(cylinder="oxygen-e", machine="theatre-1", flows=["2 L/min"])'
    """
    from yokebook.reference import report
    from yokebook.reference.one_call import source_lines, try_call

    result, problems = try_call(site_folder(site), call)
    if result is None and form == "json":
        click.echo(report.as_json(problems), nl=False)
    elif result is None:
        click.echo(report.as_text(problems, source_lines(site, call)), nl=False)
    else:
        click.echo(report.numbers_json(result) if form == "json" else report.result_text(result), nl=False)
        if len(problems):
            click.echo(report.as_text(problems, source_lines(site, call)), nl=False, err=True)
    sys.exit(GOOD if result else PROBLEMS)
