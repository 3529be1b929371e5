"""How large the root blends of skins that stand beside one another may be."""

LEAST_ROOT_MM = 2.5
"""The least root worth cutting between two skins: a ball of 5 mm still reaches down there. Source: shop_judgement."""
ROOTS_APART_MM = 0.3
"""Face left between two roots."""


def root_between(wanted_mm: float, between_mm: float) -> float:
    """The root radius of skins that stand so far from one another [mm]. Skins so near that not even the least root fits
    between are joined: what goes round both has the root wanted.
    """
    room = between_mm / 2.0 - ROOTS_APART_MM
    return wanted_mm if room < min(LEAST_ROOT_MM, wanted_mm) else min(wanted_mm, room)
