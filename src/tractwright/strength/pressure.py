"""Pressures a manifold sees, and the energy air under them stores. MPa against the open air unless said."""

from tractwright.job.engine_tables import AirSupply
from tractwright.strength.records import Pressures

BAR_MPA = 0.1
LEAK_TEST_BAR = 0.35
"""Air pressure of the leak test. Source key: pressure_testing."""
PROOF_FACTOR = 1.5
"""Water test over the highest boost. Source key: pressure_testing."""
SHUT_THROTTLE_BAR = 0.25
"""Absolute pressure behind a shut throttle on the overrun. Source key: shop_judgement."""
GAMMA = 1.4


def pressures_of(air: AirSupply) -> Pressures:
    """The pressures from the sheet's air table."""
    steady = max(air.boost_bar, LEAK_TEST_BAR)
    return Pressures(
        steady_mpa=steady * BAR_MPA,
        proof_mpa=max(PROOF_FACTOR * air.boost_bar, LEAK_TEST_BAR) * BAR_MPA,
        backfire_mpa=max(air.backfire_bar, air.boost_bar) * BAR_MPA,
        vacuum_mpa=max(air.ambient_bar - SHUT_THROTTLE_BAR, 0.0) * BAR_MPA,
    )


def stored_energy_j(volume_l: float, gauge_bar: float, ambient_bar: float = 1.01325) -> float:
    """Work air gives when it expands to the open without heat [J]: p V/(g - 1) (1 - (p0/p)^((g - 1)/g)).

    Source key: isentropic_energy.
    """
    inside = (gauge_bar + ambient_bar) * 1e5
    share = (ambient_bar / (gauge_bar + ambient_bar)) ** ((GAMMA - 1.0) / GAMMA)
    return inside * volume_l * 1e-3 / (GAMMA - 1.0) * (1.0 - share)
