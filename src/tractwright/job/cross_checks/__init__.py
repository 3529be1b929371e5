"""Checks of keys against each other. Each module holds CHECKS; adding a module is all it takes."""
