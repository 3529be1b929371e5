"""Layouts of random jobs on straight made-up courses, for tests of what holds of every layout."""

from dataclasses import dataclass
from math import pi

import numpy as np
from hypothesis import strategies as st
from laid_courses import clear_course, solution_of

from tractwright.air.records import Wanted
from tractwright.design.file import Held
from tractwright.design.pattern import Pattern
from tractwright.design.records import Bank, Design, Flange, HeadHole, Joint, Port, Screw, Throttle
from tractwright.geometry.frames import Frame, frame_from_normal
from tractwright.geometry.outlines import Outline, outline_area
from tractwright.job.sheet import JobSheet
from tractwright.route.course.records import CourseSolution, RunnerCourse
from tractwright.route.layout.chamber import Chamber, at_pitch, first_chamber
from tractwright.route.stage import laid_out

WALLS = ("end_1", "end_2", "top", "side_1", "side_2")


@dataclass(frozen=True, eq=False)
class Laid:
    """A job with its layout."""

    sheet: JobSheet
    pattern: Pattern
    chamber: Chamber
    design: Design

    def joint(self, name: str) -> Joint:
        return next(item for item in self.design.joints if item.name == name)

    def flange(self, name: str) -> Flange:
        return next(item for item in self.design.flanges if item.name == name)

    def necks(self) -> list[tuple[Throttle, Joint, Joint]]:
        """Each throttle with the joints of its neck: on the plenum, under the body."""
        kinds = ("neck", "body")
        low, high = ([joint for joint in self.design.joints if joint.kind == kind] for kind in kinds)
        return list(zip(self.design.throttles, low, high, strict=True))

    def screws(self, joint: str) -> list[Screw]:
        return [screw for screw in self.design.screws if screw.joint == joint]


@st.composite
def outlines(draw: st.DrawFn, widest: float) -> Outline:
    kind = draw(st.sampled_from(("circle", "oval", "rounded_rectangle", "d", "loop")))
    width = draw(st.floats(26.0, widest))
    height = width if kind == "circle" else draw(st.floats(24.0, 44.0))
    points: tuple[tuple[float, float], ...] = ()
    if kind == "loop":
        angle = np.linspace(0.0, 2 * pi, 40, endpoint=False)
        reach = ((np.abs(np.cos(angle)) / width * 2) ** 3 + (np.abs(np.sin(angle)) / height * 2) ** 3) ** (-1 / 3)
        points = tuple(zip((reach * np.cos(angle)).tolist(), (reach * np.sin(angle)).tolist(), strict=True))
    corners = {"corner_radius_mm": draw(st.floats(4.0, 10.0)), "lower_corner_radius_mm": draw(st.floats(3.0, 8.0))}
    return Outline(kind=kind, width_mm=width, height_mm=height, points_mm=points, **corners)


@st.composite
def patterns(draw: st.DrawFn) -> Pattern:
    """Three to six ports in a row; screws between them above and below, or by turns."""
    count, pitch = draw(st.integers(3, 6)), draw(st.floats(75.0, 115.0))
    outline = draw(outlines(min(58.0, pitch - 34.0)))
    rise = np.radians(draw(st.sampled_from((0.0, 10.0, 20.0))))
    row = [(k - (count - 1) / 2) * pitch for k in range(count)]
    up = outline.height_mm / 2 + draw(st.floats(11.0, 24.0))
    between = [(k - count / 2) * pitch for k in range(count + 1)]
    by_turns = draw(st.booleans())
    both = [(x, side * up) for x in between for side in (-1.0, 1.0)]
    holes = [hole for i, hole in enumerate(both) if not by_turns or i % 4 in (0, 3) or i in (1, 2 * count)]
    size, depth = draw(st.sampled_from(("M6", "M8", "M10"))), draw(st.floats(18.0, 30.0))
    bank = Bank(name="a", frame=Frame())
    axis = (0.0, float(np.sin(rise)), float(np.cos(rise)))
    return Pattern(
        banks=(bank,),
        ports=tuple(
            Port(name=f"p{k}", bank="a", cylinders=(k,), at_mm=(x, 0.0), outline=outline, turn_deg=0.0, axis=axis)
            for k, x in enumerate(row, start=1)
        ),
        head_holes=tuple(
            HeadHole(name=f"h{k}", bank="a", at_mm=hole, thread=size, depth_mm=depth, stud=False)
            for k, hole in enumerate(holes, start=1)
        ),
    )


@st.composite
def sheets(draw: st.DrawFn) -> JobSheet:
    place = draw(st.sampled_from(WALLS))
    second = draw(st.sampled_from((None, None, *(wall for wall in WALLS if wall != place))))
    return JobSheet.model_validate({
        "job": {"name": "made up"},
        "air": {"boost": draw(st.sampled_from((0.0, 0.8, 1.8)))},
        "throttle": {"bore": draw(st.floats(45.0, 90.0)), "place": place, "second": second},
        "runner": {"wall": draw(st.floats(3.0, 5.0)), "root_blend": draw(st.sampled_from((4.0, 6.0, 8.0)))},
        "plenum": {"wall": draw(st.floats(4.0, 8.0)), "corner_radius": draw(st.floats(6.0, 25.0))},
        "joint": {
            "thread": draw(st.sampled_from(("M5", "M6", "M8"))),
            "property_class": draw(st.sampled_from(("8.8", "10.9"))),
            "cord": draw(st.sampled_from((1.78, 2.62, 3.53))),
        },
        "head": {"flange": draw(st.sampled_from((10.0, 12.0, 15.0)))},
    })  # fmt: skip


@st.composite
def layouts(draw: st.DrawFn) -> Laid:
    """A random job laid out round straight courses to a plenum at their least pitch, or at the ports' own."""
    sheet, pattern = draw(sheets()), draw(patterns())
    bore = draw(st.floats(32.0, 50.0))
    wanted = Wanted(
        length_mm=draw(st.floats(150.0, 450.0)),
        bore_mm=bore,
        port_area_mm2=outline_area(pattern.ports[0].outline),
        mouth_area_mm2=pi / 4 * bore**2,
        plenum_volume_l=draw(st.floats(1.0, 6.0)),
        throttle_bore_mm=sheet.throttle.bore_mm,
        lip_radius_mm=draw(st.floats(4.0, 12.0)),
        why=(),
    )
    chamber = first_chamber("plenum", len(pattern.ports), sheet, wanted, Held())
    own = pattern.ports[1].at_mm[0] - pattern.ports[0].at_mm[0]
    pitch = max(chamber.pitch_mm, draw(st.sampled_from((0.0, own))))
    chamber = at_pitch(chamber, pitch, sheet, wanted, Held())
    solution = straight_courses(pattern, chamber)
    return Laid(sheet, pattern, chamber, laid_out(sheet, pattern, wanted, Held(), chamber, solution))


def straight_courses(pattern: Pattern, chamber: Chamber) -> CourseSolution:
    out = np.array([0.0, np.sin(0.6), np.cos(0.6)])
    frame = frame_from_normal((0.0, 90.0, 160.0), out, (1.0, 0.0, 0.0))
    courses: list[RunnerCourse] = []
    for k, port in enumerate(pattern.ports):
        offset = (k - (len(pattern.ports) - 1) / 2) * chamber.pitch_mm
        start = np.array([*port.at_mm, 0.0]) + 14.0 * np.array(port.axis)
        end = frame.to_world((offset, 0.0, chamber.floor_mm)) - 26.0 * out
        poles = start + (end - start) * np.linspace(0.0, 1.0, 8)[:, None]
        courses.append(clear_course(f"r{k + 1}", poles, offset, float(np.linalg.norm(end - start)) + 40.0, 1.0))
    return solution_of(courses, "plenum", frame, chamber.pitch_mm)
