"""tractwright: a billet inlet manifold, looked ahead through every later step of its making."""

import os

from tractwright import one_thread
from tractwright.cache import compiled_folder

__version__ = "0.1.0"

# Set whatever it was: a folder not named after our source would hand back kernels compiled before an edit.
os.environ["NUMBA_CACHE_DIR"] = str(compiled_folder())

__all__ = ["one_thread"]
