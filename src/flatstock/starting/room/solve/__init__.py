"""Finds plans of a room, proves how good they are, and says what can't stand together where there is none."""
