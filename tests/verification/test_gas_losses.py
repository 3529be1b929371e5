"""Entry and bend losses against an independent library of published correlations (package fluids).

Sources: Idelchik's rounded inlets (the library's own fit of the same table family); Crane TP-410 bends.
"""

import numpy as np
import pytest
from fluids.fittings import bend_rounded, bend_rounded_Crane, entrance_rounded

from tractwright.air.losses import MACHINED_DARCY, bend_loss, entry_loss, throat_of_loss


@pytest.mark.parametrize("share", [0.0, 0.02, 0.05, 0.10, 0.16, 0.20])
def test_rounded_entry(share):
    """The table's own certainty is 10 %; near nothing, 0.01."""
    published = entrance_rounded(Di=0.04, rc=0.04 * share, method="Idelchik")
    assert entry_loss(share) == pytest.approx(published, rel=0.10, abs=0.012)


@pytest.mark.parametrize("radius_over_bore", [1.5, 2.0, 3.0, 4.0, 6.0, 8.0])
def test_quarter_bend(radius_over_bore):
    """The library turns its own friction factor into the loss; ours is that of a machined wall."""
    bore = 0.0409  # nominal 1.5 inch pipe
    radius = radius_over_bore * bore
    arc = np.linspace(0.0, 0.5 * np.pi * radius, 50)
    ours = bend_loss(arc, np.full(50, 1.0 / radius), np.full(50, bore)) / MACHINED_DARCY
    crane_friction = 0.25 / np.log10(0.000045 / bore / 3.7) ** 2  # its fully rough commercial steel
    assert ours == pytest.approx(bend_rounded_Crane(Di=bore, rc=radius, angle=90.0) / crane_friction, rel=0.05)


def test_a_loss_as_a_throat():
    """Borda and Carnot: widening from share s to 1 costs (1 / s - 1)^2 of the pipe's head; an inlet throat 1 / s^2 - 1."""
    assert 1.0 / throat_of_loss(0.5) ** 2 - 1.0 == pytest.approx(0.5)


ENTRY_AUTHORS = ("Idelchik", "Crane", "Miller", "Rennels", "Swamee")
BEND_AUTHORS = {
    "Miller": {"method": "Miller", "Re": 1e5, "roughness": 0.0},
    "Ito": {"method": "Ito", "Re": 1e5},
    "Rennels": {"method": "Rennels", "fd": MACHINED_DARCY},
}


@pytest.mark.parametrize(("share", "spread"), [(0.02, 1.5), (0.05, 1.6), (0.10, 2.6), (0.15, 4.0)])
def test_rounded_entry_among_authors(share, spread):
    """Five authors differ by that factor from least to most; ours lies among them, by 10 % of the table's certainty."""
    found = [entrance_rounded(Di=0.04, rc=0.04 * share, method=author) for author in ENTRY_AUTHORS]
    assert max(found) / min(found) < spread
    assert 0.9 * min(found) <= entry_loss(share) <= 1.1 * max(found)


@pytest.mark.parametrize(("radius_over_bore", "spread"), [(1.5, 1.15), (2.0, 1.1), (3.0, 1.1), (4.0, 1.1), (6.0, 1.1)])
def test_quarter_bend_among_authors(radius_over_bore, spread):
    """Three other authors at Re 1e5 differ by that factor; ours, after Crane, comes within 15 % of their least and most."""
    bore = 0.0409
    radius = radius_over_bore * bore
    found = [bend_rounded(Di=bore, rc=radius, angle=90.0, **given) for given in BEND_AUTHORS.values()]
    arc = np.linspace(0.0, 0.5 * np.pi * radius, 50)
    ours = bend_loss(arc, np.full(50, 1.0 / radius), np.full(50, bore))
    assert max(found) / min(found) < spread
    assert 0.85 * min(found) <= ours <= 1.15 * max(found)
