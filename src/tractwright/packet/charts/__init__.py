"""Charts as SVG: the same inputs give the same bytes."""
