"""Numbers as they are handed on."""

from math import copysign

from tractwright.air.plain import plain, plain_row


def test_what_rounds_to_nothing_has_no_sign():
    """Once a loss of one part in a billion was written -0.0 by freshly compiled kernels and 0.0 by those read from disk."""
    assert copysign(1.0, plain(-1e-9)) == 1.0
    assert [copysign(1.0, value) for value in plain_row([-1e-9, 1e-9])] == [1.0, 1.0]


def test_digits_are_kept_as_asked():
    assert plain(-1.2345678) == -1.23457
    assert plain(1234.56, 1) == 1234.6
