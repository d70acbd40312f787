"""A pressed sheet measured: thickness map, size, bow, grade, and when it can be taken out."""
