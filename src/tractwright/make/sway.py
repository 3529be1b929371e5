"""How far a cutter that stands out bends under a finishing cut, and how its teeth shake it: forced vibration, one mode."""

from math import sqrt

from tractwright.job.shop_tables import Cutter, Mill, Shop
from tractwright.make.cutting import FINISHING_N, tooth_hz, turning
from tractwright.make.records import Sway
from tractwright.standards.cutting import CORE_SHARE, cutter_hz, tip_deflection_mm

DAMPING = 0.02
"""Of a machined wall or a tool with a cutter in the cut, of critical damping. Source key: shop_judgement."""


def magnified(tooth: float, own: float) -> float:
    """How much more a thing moves when pushed to and fro at a frequency than when pushed steadily, one mode, DAMPING.

    Source key: one_mode.
    """
    ratio = tooth / own
    return 1.0 / sqrt((1.0 - ratio**2) ** 2 + (2.0 * DAMPING * ratio) ** 2)


def sway_of(shop: Shop, mill: Mill, cutter: Cutter, out_mm: float) -> Sway:
    """A cutter as a cantilever of carbide, as thick as its neck or as its core, whichever is thinner. Holder and spindle give
    too and are left out. Source key: kops_vo_1990.
    """
    like = min(cutter.diameter_mm, cutter.neck_mm / CORE_SHARE)
    bends = tip_deflection_mm(like, out_mm, FINISHING_N)
    tooth, own = tooth_hz(turning(shop, mill, cutter)[0], cutter.teeth), cutter_hz(like, out_mm)
    return Sway(
        cutter=cutter.name,
        out_mm=out_mm,
        bends_mm=bends,
        shakes_mm=bends * magnified(tooth, own),
        tooth_hz=tooth,
        own_hz=own,
    )
