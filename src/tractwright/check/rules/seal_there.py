"""A joint that holds pressure and has nothing in it that seals."""

from collections.abc import Iterator

from tractwright.check.case import Case
from tractwright.check.finding import Reading, Rule
from tractwright.design.records import Joint

_THEIRS = "body"
"""The throttle body brings its own seal."""
_LEAST_MM = 0.2


def judge(case: Case) -> Iterator[Reading]:
    """One reading a joint of ours but the throttle body's: the thickness of its gasket or cord."""
    for joint in case.design.joints:
        if joint.kind != _THEIRS:
            yield _reading(joint, max((s.section_mm for s in case.design.seals if s.joint == joint.name), default=0.0))


def _reading(joint: Joint, thickness_mm: float) -> Reading:
    bare = "head" in joint.kind
    return Reading(
        subject=f"joint.{joint.name}",
        measured=thickness_mm,
        unit="mm",
        at_least=_LEAST_MM,
        broken="look" if bare else "stop",
        at_mm=joint.frame.origin_mm,
        message="No gasket is reckoned with here: state head.gasket, or face both sides flat to 0.05 mm and seal with paste."
        if bare
        else "Nothing seals this joint, it leaks: lay a cord in a groove round what it joins.",
    )


RULE = Rule(
    id="seal.there",
    question="Has every joint of ours something in it that seals?",
    limit="a cord or gasket of 0.2 mm at least; none on the cylinder head a look; common practice",
    cure="a cord, a gasket; paste on the head",
    bites_at="seal",
    needs="description",
    source="common_practice",
    judge=judge,
)
