"""Gas in volumes and cylinders: piston, heat release, heat loss, valve tables."""
