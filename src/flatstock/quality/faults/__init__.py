"""A sheet that came out bad: which cause explains what was seen, what to try next, what to change."""
