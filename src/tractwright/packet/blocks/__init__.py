"""Blocks as they lie in the machine: what is left of the stock at each set-up, and the fixture it is screwed to."""
