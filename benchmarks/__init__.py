"""How fast the engine is, side by side with named peers in the same run: `python -m benchmarks`."""
