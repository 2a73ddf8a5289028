"""The command line: parses, calls, prints. What a command decides is decided on the floors below."""

from __future__ import annotations

import gc
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

GOOD, PROBLEMS = 0, 1

site_option = click.option(
    "--site",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default=Path(),
    help="Folder where mkdocs.yml lies; default: here.",
)
format_option = click.option(
    "--format", "form", type=click.Choice(["text", "json"]), default="text", help="Report for people or for programs."
)


def _options(command: Callable[..., Any]) -> Callable[..., Any]:
    return site_option(format_option(command))


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="yokebook")
def main() -> None:
    """Write a department's cylinder, yoke and gauge procedures, with their numbers worked out at build time.

    Exit status: 0 good, 1 problems in the content, 2 wrong use.
    """


@main.command()
@_options
def check(site: Path, form: str) -> None:
    """Find all problems in data and pages; change nothing of yours."""
    gc.disable()  # a short run: looking for garbage would take longer than it saves
    from yokebook.reference import report
    from yokebook.reference.whole import work_out

    reference = work_out(_site(site))
    if form == "json":
        click.echo(report.as_json(reference.problems, pages=reference.summary()), nl=False)
    else:
        click.echo(report.as_text(reference.problems, reference.lines_of), nl=False)
    sys.exit(PROBLEMS if reference.problems.stops_the_build else GOOD)


@main.command()
@_options
@click.option(
    "--into", type=click.Path(path_type=Path), help="Folder of the built site; default: site, beside mkdocs.yml."
)
def build(site: Path, form: str, into: Path | None) -> None:
    """Build the site; where anything is wrong, leave the old one as it is."""
    from yokebook.reference import report
    from yokebook.reference.whole import work_out
    from yokebook.site.build import DEFAULT_FOLDER
    from yokebook.site.build import build as build_site

    reference = work_out(_site(site))
    into = (into or site / DEFAULT_FOLDER).resolve()
    if not reference.problems.stops_the_build and (failure := build_site(reference, into)):
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


@main.command()
@site_option
@click.option(
    "--port", type=click.IntRange(1, 65535), default=8000, show_default=True, help="Where the browser finds it."
)
def preview(site: Path, port: int) -> None:
    """Show the pages in a browser and build them again whenever a page or a data file is saved."""
    from yokebook.site.preview import preview as run_preview

    try:
        served = run_preview(_site(site).resolve(), port, click.echo)
    except OSError as error:
        raise click.UsageError(
            f"port {port} cannot be used ({error.strerror}); give another one: --port 8001"
        ) from None
    sys.exit(GOOD if served else PROBLEMS)


@main.command("try")
@_options
@click.argument("call")
def try_(site: Path, form: str, call: str) -> None:
    """Work out one call and print it; the list of numbers of that call with --format json.

    For example: yokebook try 'reserve_table(cylinder="oxygen-e", machine="theatre-1", flows=["2 L/min"])'
    """
    from yokebook.reference import report
    from yokebook.reference.one_call import source_lines, try_call

    result, problems = try_call(_site(site), call)
    if result is None and form == "json":
        click.echo(report.as_json(problems), nl=False)
    elif result is None:
        click.echo(report.as_text(problems, source_lines(site, call)), nl=False)
    else:
        click.echo(report.numbers_json(result) if form == "json" else report.result_text(result), nl=False)
        if len(problems):
            click.echo(report.as_text(problems, source_lines(site, call)), nl=False, err=True)
    sys.exit(GOOD if result else PROBLEMS)


def _site(folder: Path) -> Path:
    if not (folder / "mkdocs.yml").is_file():
        raise click.UsageError(f"{folder / 'mkdocs.yml'} is not there. Give the folder where it lies: --site DIR")
    return folder
