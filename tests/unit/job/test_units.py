"""Quantities as typed. Exact factors: NIST Special Publication 811 (2008), appendix B.8: inch 25.4 mm, pound-force
4.448 221 615 260 5 N, standard atmosphere 101 325 Pa, conventional mercury 133.322 387 415 Pa, Fahrenheit 5/9.
"""

import pytest

from tractwright.units import UNITS, accepted_units, read_quantity

PSI_BAR = 4.4482216152605 / (0.0254**2) / 1e5

READ = [
    ("0.5 in", "mm", 12.7),
    ('1/2"', "mm", 12.7),
    ("1 1/2 in", "mm", 38.1),
    ("1-1/2 inch", "mm", 38.1),
    ("-3.2mm", "mm", -3.2),
    ("+.5 cm", "mm", 5.0),
    ("1e2 mm", "mm", 100.0),
    ("1 ft", "mm", 304.8),
    ("10 thou", "mm", 0.254),
    ("17 psi", "bar", 17 * PSI_BAR),
    ("1 atm", "bar", 1.01325),
    ("120 kPa", "bar", 1.2),
    ("0.3 N/mm2", "bar", 3.0),
    ("750 mmHg", "bar", 750 * 133.322387415e-5),
    ("212 degF", "degC", 100.0),
    ("-40 F", "degC", -40.0),
    ("300 K", "degC", 26.85),
    ("25 °C", "degC", 25.0),
    ("100 cu in", "litre", 100 * 0.0254**3 * 1000),
    ("3200 cc", "litre", 3.2),
    ("6500 1/min", "rpm", 6500.0),
    ("100 rev/s", "rpm", 6000.0),
    ("90°", "deg", 90.0),
    ("0.5 rad", "deg", 28.6478897565),
    ("94", "mm", 94.0),
    (94, "mm", 94.0),
    (1.17, "bar", 1.17),
]

REFUSED = [
    ("17 psi", "mm"),
    ("17 mm", "bar"),
    ("50 Hz", "rpm"),
    ("10 percent", "deg"),
    ("1,5 mm", "mm"),
    ("1 000 mm", "mm"),
    ("2*3 mm", "mm"),
    ("1/8 NPT", "mm"),
    ("1/0 in", "mm"),
    ("nan mm", "mm"),
    ("inf mm", "mm"),
    ("1e999 mm", "mm"),
    ("", "mm"),
    ("mm", "mm"),
    ("__import__('os')", "mm"),
    (True, "mm"),
    (None, "mm"),
    ([1.0], "mm"),
    (float("nan"), "mm"),
    (float("inf"), "mm"),
]


@pytest.mark.parametrize(("typed", "unit", "value"), READ)
def test_read(typed: object, unit: str, value: float) -> None:
    assert read_quantity(typed, unit) == pytest.approx(value, rel=1e-11)


@pytest.mark.parametrize(("typed", "unit"), REFUSED)
def test_refused_with_what_is_accepted(typed: object, unit: str) -> None:
    with pytest.raises(ValueError, match=f"accepted: a number in {unit}"):
        read_quantity(typed, unit)


def test_no_dust_after_conversion() -> None:
    assert read_quantity("1 1/2 in", "mm") == 38.1
    assert read_quantity("77 degF", "degC") == 25.0


@pytest.mark.parametrize("unit", UNITS)
def test_the_own_unit_comes_first_and_changes_nothing(unit: str) -> None:
    assert accepted_units(unit)[0] == unit
    assert read_quantity(f"12.5 {unit}", unit) == 12.5
