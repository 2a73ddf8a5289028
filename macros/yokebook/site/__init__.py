"""The static site: the only floor that knows the host, mkdocs, and its theme."""
