"""A right-angle head in the spindle: what no hold turns upright is cut with the tool level, the work lying as it does. The last
resort for the end of a long piece, which no travel takes stood up. Common practice, no source.
"""

from collections.abc import Iterable, Iterator
from dataclasses import replace

import numpy as np

from tractwright.geometry.frames import Vec3
from tractwright.job.shop_tables import Mill
from tractwright.make.feature import Feature
from tractwright.make.setups import Hold
from tractwright.reach.mills import fits_beside

HALF_HIGH_MM, LONG_MM = 45.0, 150.0
"""From its tool's axis to its lowest point; how far it stands beside the work with a short tool. Judgement."""
_FITTING_MIN = 25.0
"""To put it in, line it up and touch its tool off. Judgement."""
_LEVEL = 0.01


def with_angle_head(mill: Mill, features: Iterable[Feature], holds: tuple[Hold, ...]) -> Iterator[Hold]:
    """The same holds with the head fitted, one for each way that these features, which no hold makes, look.

    Only holds that turn nothing: a block upright in a vice, a face flat on the plate.
    """
    for hold in holds:
        if hold.mill != mill.name or hold.direction != hold.floor:
            continue
        by_way: dict[Vec3, set[str]] = {}
        for feature in features:
            for way in feature.directions:
                if _cuts(mill, hold, feature, way):
                    by_way.setdefault(way, set()).add(feature.name)
        for way, names in by_way.items():
            yield replace(
                hold,
                name=f"{hold.name}, right-angle head",
                holds_by=f"{hold.holds_by}; a right-angle head in the spindle, its tool level: light cuts",
                makes=frozenset(names),
                cost_min=hold.cost_min + _FITTING_MIN,
                level_way=way,
            )


def _cuts(mill: Mill, hold: Hold, feature: Feature, way: Vec3) -> bool:
    """Whether the head has room over plate or jaws, and beside the work within the travels."""
    if abs(float(np.dot(way, hold.direction))) > _LEVEL:
        return False
    above = float(np.dot(feature.at_mm, hold.floor)) - hold.level_mm
    return above >= HALF_HIGH_MM and fits_beside(mill, np.array(hold.corners_mm), hold.direction, way, LONG_MM)
