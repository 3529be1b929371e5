"""Pieces the user drew: their joint faces, openings, holes, grooves and passages, read from exact solids."""
