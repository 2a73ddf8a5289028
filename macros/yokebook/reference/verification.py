"""Verifying as the command line asks for it, with its report."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

from yokebook.control.reading import read_records
from yokebook.control.target import Target
from yokebook.control.verification import Finding, Kind, verify_approvals
from yokebook.control.verification import verify as verify_target
from yokebook.errors import Level
from yokebook.reference.layout import CONTROL


def verify(target: Target, site: Path | None) -> list[Finding]:
    """Return all that is not as it was published; with a department's folder, and not as it was approved."""
    findings = verify_target(target)
    if site is None:
        return findings
    records, problems = read_records(site / CONTROL, CONTROL)
    broken = [
        Finding(problem.file, Kind.CHANGED, problem.wrong) for problem in problems if problem.level is Level.ERROR
    ]
    return sorted({*findings, *(broken or verify_approvals(target, records, site / CONTROL))})


def as_text(findings: Sequence[Finding]) -> str:
    """Return the findings, a line each, for people."""
    if not findings:
        return "All is as it was published.\n"
    counts = [f"{sum(finding.kind is kind for finding in findings)} {kind}" for kind in Kind]
    return "\n".join([*(finding.line() for finding in findings), "", ", ".join(counts) + ".", ""])


def as_json(findings: Sequence[Finding]) -> str:
    """Return the findings for other programs."""
    plain = [{"path": finding.path, "kind": str(finding.kind), "words": finding.words} for finding in findings]
    return json.dumps({"findings": plain}, ensure_ascii=False, indent=1) + "\n"
