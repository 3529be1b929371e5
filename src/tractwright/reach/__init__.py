"""How far cutters get into a passage, on the fast model alone or beside a solid's surface."""
