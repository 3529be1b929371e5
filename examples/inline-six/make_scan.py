"""Writes scan.stl beside this file: an invented scan of an invented old part, the same every time. Kept once made."""

import sys
from pathlib import Path

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent))

from invented_scan import INLINE_SIX, write_cached

if __name__ == "__main__":
    print(write_cached(HERE / "scan.stl", INLINE_SIX, seed=1))
