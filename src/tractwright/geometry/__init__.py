"""Shared numerics without trade knowledge: frames, curves, contours, outlines, fields, meshes."""
