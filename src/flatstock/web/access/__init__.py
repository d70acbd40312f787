"""Who may see and tap: the machine itself always, other devices once they are paired, each with a role."""
