"""Where what lies in a department's folder."""

from __future__ import annotations

CONFIG = "mkdocs.yml"
CONTENT = "content"
DATA = "content/data"
PAGES = "content/pages"
CONTROL = "content/control"
WRITING = "writing"
"""Where the author's reference lies, below the folder of pages: nobody at a machine reads it."""
