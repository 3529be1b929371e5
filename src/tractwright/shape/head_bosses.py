"""The bosses of a head piece or a middle piece, each on the very skin that its runner is built with."""

import numpy as np

from tractwright.design.boss_space import carrier
from tractwright.design.tube import centreline, schedule_at
from tractwright.kernel.skins import skin_surface
from tractwright.shape.bosses import Stand, on_skin
from tractwright.shape.head_body import HeadPlan, Rung
from tractwright.shape.head_forms import rows


def boss_stands(plan: HeadPlan, rung: Rung) -> list[Stand]:
    """Every boss that stands on this piece's part of a runner, on the skins of one rung of the ladder."""
    forms = plan.forms
    pieces = {flange.piece for flange in forms.flanges}
    place = {course.runner.name: i for i, course in enumerate(forms.courses)}
    ours = [boss for boss in forms.design.bosses if boss.runner in place and carrier(boss, forms.design) in pieces]
    if not ours:
        return []
    sewn = () if rung.all_joined else plan.clear_courses
    skins = {kind: rows(forms, kind) for kind in {rung.sewn, rung.joined}}
    found: list[Stand] = []
    for boss in ours:
        i = place[boss.runner]
        course = forms.courses[i]
        outer = skins[rung.sewn if i in sewn else rung.joined][i].outer_mm
        wall = float(schedule_at(course.runner.wall_mm, np.array([boss.station]))[0])
        found.append(on_skin(boss, skin_surface(outer), wall, centreline(course.runner, forms.design).points_mm))
    return found
