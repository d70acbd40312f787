"""Finding a plan: a constraint solver looks for the best, then places and people are named."""
