"""What locates a part in a set-up, and whether its clamps hold it against the cut."""

from dataclasses import replace
from math import inf

from tractwright.job.shop_tables import Mill, Shop
from tractwright.make.cutting import FINISHING_N, roughing
from tractwright.make.feature import Feature
from tractwright.make.holds import PINS
from tractwright.make.operations import largest
from tractwright.make.setups import Hold
from tractwright.reach.mills import mills_of
from tractwright.standards.classes import class_in_system, proof_load_n

_FRICTION = 0.15
_OF_PROOF = 0.5
_PEAK = 3.0
HELD_ENOUGH = 2.0
"""Times the heaviest cut's push that clamps should hold. Source key: shop_judgement."""
_LIGHTEST = 0.25
"""A hold that asks for cuts lighter than this share of the shop's usual ones is no hold for roughing. Judgement."""
IN_SCREW_HOLES = "pins in two of its screw holes, far apart"
_ROUGH = ("rough face", "inside", "outside", "passages", "pocket", "bore")


def locating_words(shop: Shop, hold: Hold, done: tuple[Feature, ...]) -> str:
    """What locates a hold and where its zero is; done : features that exist when the part goes in."""
    if not hold.face:
        if hold.needs:
            return "the outline in the jaws; zero at the outline's middle, indicated, height from the step"
        return (
            "fixed jaw, parallels and a stop; zero at the block's middle, both sides touched off, top face for height"
        )
    face = hold.face
    return f"the {face} on the riser and {_pins(shop, hold, done)}; zero at that joint's origin, height from the {face}"


def _pins(shop: Shop, hold: Hold, done: tuple[Feature, ...]) -> str:
    """What keeps a face in its place on the plate."""
    holes = {feature.name: feature.diameter_mm for feature in done}
    dowel = holes.get(f"{hold.face} dowel holes")
    if dowel is not None:
        step = "" if abs(dowel - shop.dowel_mm) < 0.01 else f", stepped for the plate's {shop.dowel_mm:g} mm"
        return f"{dowel:g} mm pins in its two dowel holes{step}"
    screw = holes.get(f"{hold.face} screw holes")
    if screw is not None and hold.free_holes >= PINS:
        return f"{screw:g} mm {IN_SCREW_HOLES}"
    bored = any(feature.work == "bore" for feature in done)
    return "its bore and one edge, indicated" if bored else "its edges, indicated"


def clamp_n(shop: Shop, hold: Hold) -> float:
    """What a hold resists of a push at the top of the work [N]: before it slides, or before it tips."""
    return min(slides_n(shop, hold), tips_n(shop, hold))


def slides_n(shop: Shop, hold: Hold) -> float:
    """By friction [N]: two jaws a vice, or its screws at half their proof load. Friction is judgement."""
    if hold.screws == 0:
        return 2.0 * _FRICTION * max(1, hold.vices) * shop.vice_force_kn * 1e3
    return _FRICTION * _preload_n(hold)


def tips_n(shop: Shop, hold: Hold) -> float:
    """Against tipping [N]: jaws by their friction over what they span, screws by their preload over half of theirs; the
    push stands as high as the work. Its weight is left out.
    """
    if hold.high_mm <= 0.0:
        return inf
    if hold.screws == 0:
        return _FRICTION * max(1, hold.vices) * shop.vice_force_kn * 1e3 * hold.arm_mm / hold.high_mm
    return _preload_n(hold) * hold.arm_mm / hold.high_mm


def _preload_n(hold: Hold) -> float:
    return hold.screws * _OF_PROOF * proof_load_n(hold.screw, class_in_system(hold.screw, "8.8"))


def borne_n(shop: Shop, mill: Mill, hold: Hold) -> float:
    """The mean force of roughing that a hold bears with its margin [N]; no less than a light cut's."""
    cutter = largest(shop, ("flat", "bull"), 200.0, 0.0)
    usual = roughing(shop, mill, cutter).force_n if cutter is not None else 0.0
    return max(clamp_n(shop, hold) / (HELD_ENOUGH * _PEAK), _LIGHTEST * usual)


def with_time_lost(shop: Shop, holds: tuple[Hold, ...], volume_mm3: float) -> tuple[Hold, ...]:
    """The same, a hold of the sawn block dearer by what light roughing takes, were all the rest of it cut there."""
    mills = {mill.name: mill for mill in mills_of(shop)}
    cutter = largest(shop, ("flat", "bull"), 200.0, 0.0)
    if cutter is None:
        return holds

    def lost_min(hold: Hold) -> float:
        mill = mills[hold.mill]
        rates = [roughing(shop, mill, cutter, most).removal_mm3_min for most in (borne_n(shop, mill, hold), inf)]
        return volume_mm3 / rates[0] - volume_mm3 / rates[1]

    return tuple(replace(hold, cost_min=hold.cost_min + lost_min(hold)) if hold.forbids else hold for hold in holds)


def cutting_n(shop: Shop, mill: Mill, hold: Hold, cut: tuple[Feature, ...]) -> float:
    """The heaviest cut's peak force in a set-up [N]: three times the mean of roughing, as light as the hold asks for, else a
    finishing cut's.
    """
    cutter = largest(shop, ("flat", "bull"), 200.0, 0.0)
    if cutter is None or not any(feature.work in _ROUGH for feature in cut):
        return _PEAK * FINISHING_N
    return _PEAK * roughing(shop, mill, cutter, borne_n(shop, mill, hold)).force_n


def held_times(shop: Shop, mill: Mill, hold: Hold, cut: tuple[Feature, ...]) -> float:
    """What the clamps hold sideways over the push of the heaviest cut."""
    return clamp_n(shop, hold) / cutting_n(shop, mill, hold, cut)


def holding_words(shop: Shop, mill: Mill, hold: Hold, cut: tuple[Feature, ...]) -> str:
    """Clamp load against cutting force, in words."""
    held, pushed = clamp_n(shop, hold), cutting_n(shop, mill, hold, cut)
    verdict = "enough" if held >= HELD_ENOUGH * pushed * (1.0 - 1e-9) else "too little: cut lighter, or clamp more"
    light = f"roughing no harder than {pushed / 1e3:.2f} kN" if _is_eased(shop, mill, hold, pushed) else ""
    against = light or f"{pushed / 1e3:.2f} kN at the heaviest cut"
    what = "friction" if slides_n(shop, hold) <= tips_n(shop, hold) else "before it tips, the clamping"
    return f"{what} holds {held / 1e3:.1f} kN against {against}: {verdict}"


def _is_eased(shop: Shop, mill: Mill, hold: Hold, pushed_n: float) -> bool:
    """Whether the hold, not the shop's usual cut, says how hard it is roughed."""
    cutter = largest(shop, ("flat", "bull"), 200.0, 0.0)
    usual = _PEAK * roughing(shop, mill, cutter).force_n if cutter is not None else 0.0
    return _PEAK * FINISHING_N < pushed_n < usual * (1.0 - 1e-9)
