"""Everything of the description but the courses: plenum, flanges, joints, screws, dowels, seals."""
