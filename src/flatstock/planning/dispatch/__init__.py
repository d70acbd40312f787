"""A plan by a rule, in plain Python: the first usable one, where a search may start, and what it is measured by."""
