"""Where the runners run, and the rest of the description round them."""
