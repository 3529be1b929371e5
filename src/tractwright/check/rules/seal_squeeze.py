"""Is every cord squeezed enough to seal and not so much that it is crushed?"""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Fix, Reading, Rule
from tractwright.standards.cords import cord, gland

_LEAST, _MOST = 0.19, 0.30


def judge(case: Case) -> Iterator[Reading]:
    """Two readings a cord: the squeeze at the nominal groove, from below and from above."""
    for seal in case.design.seals:
        if seal.kind != "cord":
            continue
        section = cord(seal.section_mm)
        squeeze = gland(section, seal.groove_width_mm, seal.groove_depth_mm).squeeze_nominal
        fix = Fix(
            path=f"seal.{seal.name}.groove_depth_mm",
            value=round(section.depth_mm, 3),
            what=f"groove {section.depth_mm:.2f} mm deep",
        )
        message = "The groove's depth does not suit the cord: cut it to the table's depth."
        for least, most in ((_LEAST, None), (None, _MOST)):
            yield Reading(
                subject=f"seal.{seal.name}",
                measured=squeeze,
                unit="share",
                at_least=least,
                at_most=most,
                message=message,
                fix=fix,
            )


RULE = Rule(
    id="seal.squeeze",
    question="Is every cord squeezed enough to seal and not so much that it is crushed?",
    limit="19 % at least and 30 % at most over the tolerances' middle",
    cure="the groove depth of the table",
    bites_at="seal",
    needs="description",
    source="iso_3601_face_groove",
    judge=judge,
)
