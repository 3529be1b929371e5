"""Made-up plenum pieces, covers and necks for the tests of their builders."""

from collections.abc import Callable

import pytest
from plenum_pieces import Box, plenum_pieces

from tractwright.design.records import Design


@pytest.fixture(scope="session")
def made_up() -> Callable[[Box], Design]:
    """Makes a design from the numbers of a box."""
    return plenum_pieces


@pytest.fixture(scope="session")
def small_box() -> Box:
    """Three mouths, the throttle at an end."""
    return Box(
        count=3, pitch_mm=54.0, bore_mm=40.0, lip_mm=6.0, height_mm=76.0, depth_mm=70.0, throttle_mm=36.0, columns=3
    )
