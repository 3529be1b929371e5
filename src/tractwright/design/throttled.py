"""Which throttle a joint belongs to, where there are several."""

from math import hypot

from tractwright.design.records import Design, Joint, Piece, Throttle


def throttle_at(joint: Joint, design: Design) -> Throttle | None:
    """The throttle whose axis passes nearest to a joint's middle; of several on one axis, the one that lies nearest."""

    def off(throttle: Throttle) -> tuple[float, float]:
        x, y, z = throttle.frame.to_local(joint.frame.origin_mm)
        return round(hypot(float(x), float(y)), 3), abs(float(z))

    return min(design.throttles, key=off, default=None)


def neck_of(throttle: Throttle, design: Design) -> str:
    """Name of the piece that a throttle's body is bolted to, '' where that is none of ours."""
    bodies = [joint for joint in design.joints if joint.kind == "body"]
    return next((joint.pieces[0] for joint in bodies if throttle_at(joint, design) == throttle), "")


def throttles_through(piece: Piece, design: Design) -> tuple[Throttle, ...]:
    """The throttles whose bore goes through a piece: its neck, or what carries that."""
    joints = [joint for joint in design.joints if joint.kind == "neck" and piece.name in joint.pieces]
    found = [throttle for joint in joints if (throttle := throttle_at(joint, design)) is not None]
    return tuple(throttle for throttle in design.throttles if throttle in found)
