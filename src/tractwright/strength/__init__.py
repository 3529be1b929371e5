"""Plates and shells under pressure, clamp and separation."""
