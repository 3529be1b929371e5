"""The exhaust of an engine: valves into a space behind, or primary pipes and collectors. SI units, degrees of crank."""

import numpy as np

from tractwright.air.engine import exhaust_valves, firing_phases, has_primaries
from tractwright.air.laying import Laying, even_pipe, hot_pipe
from tractwright.air.losses import UNFLANGED_END
from tractwright.air.network.parts import End, Throat
from tractwright.air.valves import effective_area

COLLECTOR_OVER_PRIMARY = 1.4  # engine_judgement: bore
LARGEST_COLLECTOR = 4  # cylinders that share one; more: every other one in firing order (common practice)


def lay_exhaust(parts: Laying, cylinders: dict[int, int], behind: int, back: float) -> None:
    """Exhaust valves, with a primary pipe each and collectors where the sheet has them."""
    engine, phases = parts.breather.engine, firing_phases(parts.breather.engine)
    area = effective_area(exhaust_valves(engine))
    if not has_primaries(engine):
        parts.throats += [Throat(between=(v, behind), table=area, phase_deg=phases[n]) for n, v in cylinders.items()]
        return
    bore = (engine.primary_bore_mm or np.sqrt(engine.exhaust_valves) * engine.exhaust_valve_mm) * 1e-3
    outlets = _collectors(parts, len(cylinders), bore, behind, back)
    for place, number in enumerate(engine.firing_order):
        outlet = outlets[place % len(outlets)]
        extension = 0.0 if outlet.joint is not None else 0.5 * bore * UNFLANGED_END
        low = End(volume=cylinders[number], table=area, phase_deg=phases[number])
        along = even_pipe(engine.primary_length_mm * 1e-3 + extension, bore)
        parts.pipe(hot_pipe(parts.breather, along, (low, outlet), back))


def _collectors(parts: Laying, cylinders: int, primary_bore: float, behind: int, back: float) -> list[End]:
    """Where primaries end: in collectors, or in the space behind."""
    engine = parts.breather.engine
    if engine.collector_length_mm == 0.0:
        return [End(volume=behind)]
    bore = engine.collector_bore_mm * 1e-3 if engine.collector_bore_mm else COLLECTOR_OVER_PRIMARY * primary_bore
    along = even_pipe(engine.collector_length_mm * 1e-3 + 0.5 * bore * UNFLANGED_END, bore)
    ends = [End(joint=parts.joint()) for _ in range(2 if cylinders > LARGEST_COLLECTOR else 1)]
    for end in ends:
        parts.pipe(hot_pipe(parts.breather, along, (end, End(volume=behind)), back))
    return ends
