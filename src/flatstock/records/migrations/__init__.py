"""Steps from each earlier version of the tables to the next; a step that was published never changes."""
