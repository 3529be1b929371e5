"""Held numbers in words."""

import pytest

from tractwright.page.view.figures import is_level


@pytest.mark.parametrize(
    ("value", "level"),
    [
        ([[0.0, 4.25], [1.0, 4.25]], True),
        (((0.0, 4.0), (1.0, 4.0)), True),
        ([[0.0, 4.0], [1.0, 5.0]], False),
        (4.0, False),
        ([], False),
        ([1.0, 2.0, 2.0], False),
        ("M6", False),
    ],
)
def test_a_schedule_of_one_value_is_level(value: object, level: bool):
    assert is_level(value) is level
