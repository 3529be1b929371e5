"""One file a kind of piece: KIND, and build(piece, design)."""
