"""Which pieces a plenum is made of, where there are several."""

from tractwright.design.records import Design, Plenum, Screw


def housing_of(plenum: Plenum, design: Design) -> str:
    """Name of the piece whose floor lies on the joint under a plenum, '' where it has none."""
    joints = [joint for joint in design.joints if joint.kind == "runner" and joint.frame == plenum.frame]
    return next((joint.pieces[1] for joint in joints), "")


def cover_of(plenum: Plenum, design: Design) -> str:
    """Name of the piece that closes a plenum, '' where it has none."""
    housing = housing_of(plenum, design)
    joints = [joint for joint in design.joints if joint.kind == "cover" and joint.pieces[0] == housing]
    return next((joint.pieces[1] for joint in joints), "")


def cover_screws_of(plenum: Plenum, design: Design) -> tuple[Screw, ...]:
    """The screws of a plenum's cover; they stand in columns along its walls."""
    housing = housing_of(plenum, design)
    joints = {joint.name for joint in design.joints if joint.kind == "cover" and joint.pieces[0] == housing}
    return tuple(screw for screw in design.screws if screw.joint in joints)


def cover_thickness_mm(plenum: Plenum, design: Design) -> float:
    """Thickness of a plenum's cover [mm], 0 where it has none."""
    cover = cover_of(plenum, design)
    joints = {joint.name for joint in design.joints if joint.kind == "cover" and joint.pieces[1] == cover}
    return max((flange.thickness_mm for flange in design.flanges if flange.joint in joints), default=0.0)


def plenum_in(piece: str, design: Design) -> Plenum | None:
    """The plenum that a piece holds or covers, None for any other piece."""
    return next((item for item in design.plena if piece in (housing_of(item, design), cover_of(item, design))), None)
