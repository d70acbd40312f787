"""Flatstock: what to weigh, how long to press, when to open, for small workshops that press flake into sheets."""
