"""What the engine breathes: areas, lengths, plenum, filling and torque against revs."""
