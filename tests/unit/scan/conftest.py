"""One small invented scan for all tests of the stage: a four with oval ports, 0.2 million triangles."""

import pytest

import invented_scan as invented
from tractwright.geometry.meshes import welded
from tractwright.scan.clean import cleaned
from tractwright.scan.faces import find_faces


@pytest.fixture(scope="session")
def scanned():
    """The scan with its truth, before any file."""
    scanner = invented.Scanner(step_mm=1.9, noise_mm=0.06, strays=12, gaps=8, broken=20)
    return invented.invented_scan(invented.INLINE_FOUR, scanner, seed=3)


@pytest.fixture(scope="session")
def clean(scanned):
    """The scan cleaned."""
    return cleaned(welded(scanned.triangles), "scan.stl")


@pytest.fixture(scope="session")
def faces(clean):
    """Head face and throttle seat of the scan."""
    return find_faces(clean.mesh, 4)
