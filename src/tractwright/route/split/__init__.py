"""A joint across the runners: whether one is needed, where it stands, what it is made of."""
