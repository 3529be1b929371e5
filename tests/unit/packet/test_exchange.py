"""Drawing exchange files: the same drawing gives the same bytes, whatever Python draws by lot."""

import os
import subprocess
import sys

import pytest

_PROGRAM = """
import hashlib
from tractwright.packet.drawing.exchange import drawing_bytes, new_drawing
print(hashlib.sha256(drawing_bytes(new_drawing(("outline",)))).hexdigest())
"""


@pytest.fixture(scope="module")
def digests() -> set[str]:
    """Of the same drawing written under six orders of Python's sets."""
    found: set[str] = set()
    for seed in range(6):
        surroundings = os.environ | {"PYTHONHASHSEED": str(seed)}
        told = subprocess.run([sys.executable, "-c", _PROGRAM], env=surroundings, capture_output=True, check=True)
        found.add(told.stdout.decode())
    return found


def test_one_drawing_has_one_spelling(digests: set[str]):
    """Once two classes that the file declares stood in an order drawn by lot: one run in four gave other bytes."""
    assert len(digests) == 1
