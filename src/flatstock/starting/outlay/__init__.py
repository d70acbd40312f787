"""What to buy in which month, what limits the sheets then, and whether it pays."""
