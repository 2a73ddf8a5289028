"""The command line: parses, calls, prints. What a command decides is decided on the floors below."""

from __future__ import annotations

import click

from yokebook.cli import approval, changes, content, editions


@click.group(context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(package_name="yokebook")
def main() -> None:
    """Write a department's cylinder, yoke and gauge procedures, with their numbers worked out at build time.

    Exit status: 0 good, 1 problems in the content, 2 wrong use.
    """


for command in (
    content.start_, content.check, content.try_, content.preview, content.build, content.incident,
    changes.trace, approval.approve, editions.publish, changes.compare, editions.withdraw, editions.verify,
):  # fmt: skip
    main.add_command(command)
