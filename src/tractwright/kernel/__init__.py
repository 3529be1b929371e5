"""The only door to the solid kernel."""
