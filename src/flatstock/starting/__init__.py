"""What comes before the first sheet: the room, the supply, what to buy in which order, and whether it will pay."""
