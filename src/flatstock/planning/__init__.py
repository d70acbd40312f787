"""A week by the clock: who presses which sheet when, so that physics, hands and supply can keep it.

`problem` says what is to be planned, `solve` finds plans, `check` judges them from the document alone.
"""
