"""Radii and chamfers that every plate-like piece gets where there is room. Source of all: common_practice."""

from tractwright.route.layout.chamber import ROOT_MM

ROOTS_MM = (ROOT_MM, 3.0, 2.0, 1.0)
"""Root radius between what stands on a plate and the plate: the largest that finds room."""

LEAST_FLOOR_RADIUS_MM = 1.0

THROTTLE_LIP_MM = 5.0
"""Rounded mouth of a throttle opening inside."""

BREAK_MM = 0.5
"""Chamfer of outer edges."""

BEYOND_MM = 1.5
"""How far cutters run past the metal, so that faces are cut through and not merely touched."""
