"""Everything known of a job at the moment it is asked: later stages are None until they have run."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from tractwright.air.records import Breathing, Wanted
from tractwright.check.bodies import Body
from tractwright.design.pattern import Pattern, Room
from tractwright.design.records import Design
from tractwright.design.tube import Tube, tube
from tractwright.job.sheet import JobSheet
from tractwright.make.records import MakingPlan
from tractwright.route.records import Described
from tractwright.shape.records import BuiltPiece, BuiltSpacer
from tractwright.strength.records import Loads


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Case:
    """A job so far. tubes : the fast model of each runner by name; bodies : what stands in a key's way; built once."""

    sheet: JobSheet
    pattern: Pattern
    room: Room
    wanted: Wanted
    described: Described
    loads: Loads
    tubes: Mapping[str, Tube]
    bodies: tuple[Body, ...]
    breathing: Breathing | None = None
    pieces: tuple[BuiltPiece, ...] | None = None
    spacers: tuple[BuiltSpacer, ...] = ()
    plan: MakingPlan | None = None

    @property
    def design(self) -> Design:
        """The description."""
        return self.described.design

    def later(self, breathing: Breathing | None, pieces: tuple[BuiltPiece, ...], plan: MakingPlan) -> "Case":
        """The same job with what the later stages found."""
        return replace(self, breathing=breathing, pieces=pieces, plan=plan)


def fast_tubes(design: Design) -> Mapping[str, Tube]:
    """The fast model of every runner."""
    return {runner.name: tube(runner, design) for runner in design.runners}
