"""What a lot of flake is, what it may hold and what it weighs: tests, samples, moisture, scales."""
