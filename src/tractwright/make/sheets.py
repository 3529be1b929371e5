"""Parts cut from sheet on the mill: insulating spacers."""

from math import ceil

import numpy as np

from tractwright.design.records import Design
from tractwright.design.spacer import Spacer
from tractwright.design.spacer_space import spacer_name, through
from tractwright.geometry.contours import contour_length, polyline
from tractwright.make.records import SheetCut

_EDGE_MM = 10.0
"""Sheet left all round to hold it by. Source: shop_judgement."""
_DEEP_MM, _FEED_MM_MIN = 3.0, 500.0
"""A pass of a carbide router in laminate, and its feed. Source: shop_judgement."""
_SETTING_MIN = (15.0, 35.0)
"""To lay it on a sacrificial board, set zero, deburr. Source: shop_judgement."""


def sheet_cut(spacer: Spacer, design: Design) -> SheetCut:
    """What a spacer takes of sheet and time: every outline gone round once a pass."""
    found = through(spacer, design)
    size = np.ptp(polyline(spacer.contour), axis=0) + 2.0 * _EDGE_MM
    round_all = sum(contour_length(contour) for contour in (spacer.contour, *found.openings, *found.holes))
    cutting = round_all * ceil(spacer.thickness_mm / _DEEP_MM) / _FEED_MM_MIN
    return SheetCut(
        name=spacer_name(spacer.name),
        area_dm2=float(np.prod(size)) * 1e-4,
        minutes=(_SETTING_MIN[0] + cutting, _SETTING_MIN[1] + 2.0 * cutting),
    )
