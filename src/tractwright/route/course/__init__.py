"""Where the runners run: their courses and the pose of the plenum's face, found together inside the room."""
