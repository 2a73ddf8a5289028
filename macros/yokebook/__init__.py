"""Yokebook: a department's own cylinder, yoke and gauge procedures, their numbers worked out at build time."""
