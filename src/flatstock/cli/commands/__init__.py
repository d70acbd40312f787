"""One module a command: its words, one action, its answer."""
