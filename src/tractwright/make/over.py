"""What lies over a feature that is cut in a surface, a seat, a boss's hole or a pocket: that surface has to be bare by then."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from tractwright.geometry.frames import Array
from tractwright.make.feature import Feature
from tractwright.make.owners import OUTSIDE, is_inside
from tractwright.make.samples import Samples

Mask = npt.NDArray[np.bool_]
_ROUND_MM, _LEVEL_MM = 8.0, 12.0
_LOOKS = 0.5


def over_features(
    features: tuple[Feature, ...], samples: Samples, owners: npt.NDArray[np.str_]
) -> tuple[dict[str, Mask], tuple[Feature, ...]]:
    """Samples (n,) of the outside round each feature that starts in it, by name; and the features, those that start in a
    chamber after that chamber.
    """
    over: dict[str, Mask] = {}
    found: list[Feature] = []
    for feature in features:
        near = _near(feature, samples)
        outside = near & (owners == OUTSIDE)
        if outside.any():
            over[feature.name] = outside
        chambers = frozenset(str(name) for name in np.unique(owners[near]) if is_inside(str(name)))
        found.append(replace(feature, first=feature.first | chambers) if chambers else feature)
    return over, tuple(found)


def after_what_lies_over(features: tuple[Feature, ...], over: Mapping[str, str]) -> tuple[Feature, ...]:
    """The same, each cut after the part of the outside over it; over : that part's name by the feature's."""
    return tuple(replace(f, first=f.first | {over[f.name]}) if f.name in over else f for f in features)


def _near(feature: Feature, samples: Samples) -> Mask:
    found = np.zeros(len(samples.points_mm), dtype=bool)
    if not feature.starts_mm:
        return found
    way = np.array(feature.directions[0])
    looks = samples.normals @ way > _LOOKS
    for place in feature.starts_mm:
        away: Array = samples.points_mm - np.array(place)
        level = away @ way
        off = np.linalg.norm(away - level[:, None] * way, axis=1)
        found |= looks & (np.abs(level) < _LEVEL_MM) & (off < feature.diameter_mm / 2 + _ROUND_MM)
    return found
