"""What the route stage hands over."""

from dataclasses import dataclass

from tractwright.design.records import Design
from tractwright.route.course.records import Shortfall


@dataclass(frozen=True, slots=True, kw_only=True)
class Described:
    """The whole description, and how the search for its courses ended.

    feasible : every demand on the courses is met; else `shortfalls` say which is not, and `binding` what holds the
    result where it is, heaviest first. starts_tried, evaluations : the work done.
    """

    design: Design
    feasible: bool
    shortfalls: tuple[Shortfall, ...]
    binding: tuple[tuple[str, float], ...]
    starts_tried: int
    evaluations: int
