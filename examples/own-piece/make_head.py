"""Writes head.step beside this file: an invented head piece, the same every time. Kept once made."""

import sys
from pathlib import Path

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent))

from invented_head import InventedHead, write_head

if __name__ == "__main__":
    target = HERE / "head.step"
    print(target if target.exists() else write_head(target, InventedHead()))
