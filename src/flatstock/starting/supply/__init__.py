"""Can the connection carry what hangs on it, what would help, and what to ask the electrician."""
