"""The description made into exact solids."""
