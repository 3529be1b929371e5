"""One-dimensional gas flow in pipes, and what happens at their ends."""
