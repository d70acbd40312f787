"""For every test: how fast an example runs is nobody's test (a busy machine must not fail one)."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("by result alone", deadline=None)
settings.load_profile("by result alone")
