"""The colours of everything on paper."""

INK = "#1f2d36"
COPPER = "#b4572a"
TEAL = "#2a7f86"
SAND = "#e9e2d3"
STONE = "#8b949b"
MIST = "#d3d8dc"
