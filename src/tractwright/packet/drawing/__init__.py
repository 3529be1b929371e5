"""Drawings to scale: a small sheet in millimetres, and the hole sheet of a joint."""
