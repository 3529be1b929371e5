"""Pipes, volumes, cylinders and throats joined into one network and moved on in time."""
