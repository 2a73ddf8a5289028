"""Controlled documents: bytes, dates and lists of numbers; no physics."""
