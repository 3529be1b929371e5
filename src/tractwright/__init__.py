"""tractwright: a billet inlet manifold, looked ahead through every later step of its making."""

__version__ = "0.1.0"
