"""The description round a head piece that the user has drawn already: only what is missing is designed."""
