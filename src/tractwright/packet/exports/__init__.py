"""One file a thing that goes out: NAME, and write(contents)."""
