"""The revs that sizes are chosen for: about a wanted peak, or from one speed to another."""

from dataclasses import dataclass
from math import ceil

import numpy as np
import numpy.typing as npt

from tractwright.job.engine_tables import Engine

Array = npt.NDArray[np.float64]

WIDTH = 0.08  # of the wanted revs: spread of the weights by which torque about them is averaged (judgement)
NEAR = 0.08  # a peak this near the wanted revs stands there (judgement)
ALIKE_FROM = 0.8  # of the wanted revs: what a mouth has to serve begins here and ends at the highest revs
SPACING = 0.065  # of the middle revs: speeds a little nearer than half of what a wave's peak is wide
MOST_POINTS = 17


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """Revs [1/min] whose torque counts. wanted : where its peak should stand; between : least and greatest revs that count
    alike, None where those about the wanted count, the less the farther from them.
    """

    wanted: float
    between: tuple[float, float] | None = None

    def weights(self, rpm: Array) -> Array:
        """How much torque at each speed counts; together 1."""
        if self.between is None:
            weight = np.exp(-0.5 * ((rpm / self.wanted - 1.0) / WIDTH) ** 2)
        else:
            weight = ((rpm >= self.between[0] - 0.5) & (rpm <= self.between[1] + 0.5)).astype(float)
        return weight / weight.sum()

    def has(self, rpm: float) -> bool:
        """Whether a peak at these revs stands where it is wanted."""
        if self.between is None:
            return abs(rpm / self.wanted - 1.0) <= NEAR
        return self.between[0] <= rpm <= self.between[1]

    def speeds(self, reach: float, count: int) -> Array:
        """Speeds to simulate: that many, as far as `reach` of the wanted revs to both sides; or all over the band."""
        if self.between is None:
            return np.linspace(1.0 - reach, 1.0 + reach, count) * self.wanted
        low, high = self.between
        return np.linspace(
            low, high, int(np.clip(ceil((high - low) / (SPACING * self.wanted)) + 1, count, MOST_POINTS))
        )

    def served(self, highest: float) -> tuple[float, float]:
        """Least and greatest revs that a mouth has to serve."""
        return self.between or (ALIKE_FROM * self.wanted, highest)

    def in_words(self) -> str:
        """Where it is, to end a sentence."""
        if self.between is None:
            return f"about {self.wanted:.0f} revs"
        return f"from {self.between[0]:.0f} to {self.between[1]:.0f} revs"


def band_of(engine: Engine) -> Band:
    """What the sheet wants."""
    low_and_high = engine.band_rpm
    return Band(wanted=engine.wanted_peak_rpm, between=(low_and_high[0], low_and_high[1]) if low_and_high else None)
