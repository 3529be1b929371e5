"""What a pipe sounds at, from the pressure heard at one place."""

import numpy as np


def frequency(times, heard):
    """Mean over whole swings, from rise to rise through zero."""
    rises = np.flatnonzero((heard[:-1] <= 0.0) & (heard[1:] > 0.0))
    moments = times[rises] - heard[rises] * (times[rises + 1] - times[rises]) / (heard[rises + 1] - heard[rises])
    return (len(moments) - 1) / (moments[-1] - moments[0])
