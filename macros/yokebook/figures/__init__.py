"""Drawings as SVG from plain values: presentation attributes only, title and description, always the same bytes."""
