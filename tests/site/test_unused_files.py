"""What no page uses is built nowhere: no approval covers it."""

from __future__ import annotations

from pathlib import Path

from bad_sites import BAD, lay_out
from yokebook.reference.assembling import assembled
from yokebook.reference.start import starter
from yokebook.site.build import build


def test_only_what_pages_use_is_built(tmp_path: Path) -> None:
    """Pages, the picture and the poster that they lead to; no old procedure, no page under another name."""
    site = lay_out(BAD / "W810_file_that_no_page_uses", tmp_path / "site")
    (site / "mkdocs.yml").write_bytes((starter() / "mkdocs.yml").read_bytes())
    assert build(assembled(site), tmp_path / "draft") is None
    draft = tmp_path / "draft/editions/draft"
    (page,) = draft.rglob("page.html")
    beside = {path.name for path in page.parent.iterdir() if path.is_file()}
    assert {"yoke.png", "poster.pdf"} <= beside
    for unused in ("old-sop.docx", "new-page.md.txt", "Thumbs.db"):
        assert [] == list((tmp_path / "draft").rglob(f"{unused}*"))
