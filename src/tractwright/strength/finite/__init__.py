"""Solids by finite elements: tetrahedra with straight edges and quadratic displacements, small bows, one metal a solid."""
