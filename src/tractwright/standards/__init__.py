"""Published tables and the arithmetic that goes with them: threads, screws, holes, keys, cords, stock."""
