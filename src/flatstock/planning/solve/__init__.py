"""Finding a plan: a priority rule for the first one, a constraint solver for the best, people named last."""
