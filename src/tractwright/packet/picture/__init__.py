"""Shaded pictures of triangle meshes, made without a display."""
