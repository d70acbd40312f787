"""Flatstock: what to weigh, how long to press, when to open, for small workshops that press flake into sheets."""

__version__ = "0.1.0"
