"""Is every cord squeezed enough to seal and not so much that it is crushed?"""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.check.measures import SQUEEZE_LEAST, SQUEEZE_MOST
from tractwright.standards.cords import cord, gland


def judge(case: Case) -> Iterator[Reading]:
    """One reading a cord: the squeeze at the nominal groove against the nearer of both limits."""
    for seal in case.design.seals:
        if seal.kind != "cord":
            continue
        section = cord(seal.section_mm)
        squeeze = gland(section, seal.groove_width_mm, seal.groove_depth_mm).squeeze_nominal
        loose = squeeze < (SQUEEZE_LEAST + SQUEEZE_MOST) / 2
        depth = round(section.depth_mm, 3)
        how = (
            "The groove is too deep, the cord hardly squeezed"
            if loose
            else "The groove is too shallow, the cord crushed"
        )
        yield Reading(
            subject=f"seal.{seal.name}",
            measured=squeeze,
            unit="share",
            at_least=SQUEEZE_LEAST if loose else None,
            at_most=None if loose else SQUEEZE_MOST,
            message=f"{how}: cut it {depth:.2f} mm deep.",
            fix=Fix(path=f"seal.{seal.name}.groove_depth_mm", value=depth, what=f"groove {depth:.2f} mm deep"),
        )


RULE = Rule(
    id="seal.squeeze",
    question="Is every cord squeezed enough to seal and not so much that it is crushed?",
    limit="19 % to 30 % of the section, at the nominal groove",
    cure="the groove depth of the table",
    bites_at="seal",
    needs="description",
    source="iso_3601_face_groove",
    judge=judge,
)
