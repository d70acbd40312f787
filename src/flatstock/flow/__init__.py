"""How much flake, how high it stands, and where melt goes under pressure."""
