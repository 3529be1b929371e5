"""The description of a manifold and what can be derived from it without a solid."""
