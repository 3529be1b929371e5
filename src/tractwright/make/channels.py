"""What channels ask of the mill: openings sunk from the head's face, drillings from outside and from the edge."""

from tractwright.design.channel_space import drillings, flange_of, opening
from tractwright.design.records import Design, Piece
from tractwright.geometry.contours import contour_area, contour_length, least_radius
from tractwright.geometry.frames import vec3
from tractwright.make.feature import Feature, faces_of


def channel_features(design: Design, piece: Piece) -> tuple[Feature, ...]:
    """The openings and drillings of the channels of a piece."""
    faces = {face.joint.name: face for face in faces_of(design, piece)}
    found: list[Feature] = []
    for channel in design.channels:
        flange = flange_of(channel, design)
        if flange.piece != piece.name:
            continue
        face, outline, deep = faces[channel.joint], opening(channel), channel.recess_mm
        at = vec3(flange.frame.to_world((*channel.at_mm, 0.0)))
        area = contour_area(outline)
        sunk = f"opening of {channel.name}"
        found.append(
            Feature(
                name=sunk, work="pocket", directions=(face.out,), at_mm=at, face=face.name, depth_mm=deep,
                first=frozenset({f"{face.name} roughed"}), diameter_mm=2.0 * least_radius(outline),
                area_mm2=area + contour_length(outline) * deep, volume_mm3=area * deep,
            )
        )  # fmt: skip
        for number, hole in enumerate(drillings(channel, design), start=1):
            found.append(
                Feature(
                    name=f"drilling {number} of {channel.name}", work="boss", directions=(hole.out,), at_mm=hole.start_mm,
                    count=1, diameter_mm=hole.hole_mm, depth_mm=hole.hole_depth_mm, thread=hole.thread,
                )
            )  # fmt: skip
    return tuple(found)
