"""A plenum a bank, over its own head: each bank is laid out as a job of its own, on its own side of the engine's middle."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import chain

from tractwright.design.file import unheeded
from tractwright.design.paths import KINDS
from tractwright.design.pattern import KeepOutPlane, Pattern, Room
from tractwright.design.records import Bank, Design
from tractwright.design.room import MIDDLE_PLANE
from tractwright.job.boss_tables import BossFacts
from tractwright.job.sheet import JobSheet
from tractwright.route import giving_way
from tractwright.route.bank_names import BankNames
from tractwright.route.giving_way import Answer, Wishes
from tractwright.route.layout.standing import standing
from tractwright.route.records import Contradiction, Described, JobFacts


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class _Part:
    """A bank's own job, and what its parts are called among both banks'."""

    names: BankNames
    facts: JobFacts


def answered(facts: JobFacts) -> Answer:
    """The first description that meets every demand. Raises TableError."""
    parts = _parts(facts)
    if not parts:
        return giving_way.answered(facts)
    return _together(facts, parts, [giving_way.answered(part.facts) for part in parts])


def answered_again(before: Answer, wishes: Wishes) -> Answer:
    """The same job with wishes of rules, from where the last answer ended. Raises TableError."""
    if not before.by_bank:
        return giving_way.answered_again(before, wishes)
    facts = before.facts.with_held(before.facts.held.with_wishes(wishes))
    parts = _parts(facts)
    found = [
        giving_way.answered_again(last, part.names.held(facts.held).wishes)
        for part, last in zip(parts, before.by_bank, strict=True)
    ]
    return _together(facts, parts, found)


def answered_near(before: Answer, facts: JobFacts) -> Answer:
    """A job much like the last one, from where its answer ended. Raises TableError."""
    parts, last = _parts(facts), before.described.by_bank
    if not parts or not last:
        return giving_way.answered_near(before, facts)
    found = [
        giving_way.answered_near(Answer(described=described, facts=was.facts), part.facts)
        for part, was, described in zip(parts, _parts(before.facts), last, strict=True)
    ]
    return _together(facts, parts, found)


def _parts(facts: JobFacts) -> tuple[_Part, ...]:
    """Each bank's own job; none where one plenum is for all."""
    if facts.sheet.plenum.over != "own":
        return ()
    found: list[_Part] = []
    before = 0
    for bank in facts.pattern.banks:
        pattern = _pattern_of(bank, facts.pattern)
        names = BankNames(bank=bank.name, before=before, runners=len(pattern.ports))
        found.append(_Part(names=names, facts=_facts_of(bank, pattern, names, facts)))
        before += len(pattern.ports)
    return tuple(found)


def _pattern_of(bank: Bank, pattern: Pattern) -> Pattern:
    return replace(
        pattern,
        banks=(bank,),
        ports=tuple(port for port in pattern.ports if port.bank == bank.name),
        head_holes=tuple(hole for hole in pattern.head_holes if hole.bank == bank.name),
    )


def _facts_of(bank: Bank, pattern: Pattern, names: BankNames, facts: JobFacts) -> JobFacts:
    """The bank's share of what is wanted: the volume by its ports."""
    share, wanted = len(pattern.ports) / len(facts.pattern.ports), facts.wanted
    return replace(
        facts,
        sheet=_sheet_of(bank, pattern, names, facts.sheet),
        pattern=pattern,
        room=_beside_middle(facts.room, bank),
        held=names.held(facts.held),
        wanted=replace(wanted, plenum_volume_l=share * wanted.plenum_volume_l),
    )


def _sheet_of(bank: Bank, pattern: Pattern, names: BankNames, sheet: JobSheet) -> JobSheet:
    """The sheet as it is for one bank."""
    engine = sheet.engine
    fed = {number for port in pattern.ports for number in port.cylinders}
    if engine is not None:
        engine = engine.model_copy(update={"cylinders": len(fed)})
    bosses = tuple(own for facts in sheet.boss if (own := _boss_of(bank, names, facts)) is not None)
    return sheet.model_copy(update={"engine": engine, "boss": bosses})


def _boss_of(bank: Bank, names: BankNames, facts: BossFacts) -> BossFacts | None:
    """A boss with the bank's own runners; None where it stands on the other bank's manifold."""
    own = tuple(name for one in facts.runners if (name := names.alone("runner", one)) is not None)
    if facts.runners and not own:
        return None
    if facts.top_at_mm is not None and not facts.runners and facts.top_at_mm[2] * _side_of(bank) < 0.0:
        return None
    return facts.model_copy(update={"runners": own}) if facts.runners else facts


def _beside_middle(room: Room, bank: Bank) -> Room:
    """The room on the bank's own side of the engine's middle plane, z = 0."""
    plane = KeepOutPlane(name=MIDDLE_PLANE, normal=(0.0, 0.0, _side_of(bank)), offset_mm=0.0)
    return replace(room, planes=(*room.planes, plane))


def _side_of(bank: Bank) -> float:
    return 1.0 if bank.frame.origin_mm[2] > 0.0 else -1.0


def _together(facts: JobFacts, parts: Sequence[_Part], found: Sequence[Answer]) -> Answer:
    """The description of both banks' manifolds, and what was found out about each."""
    pairs = [(part.names, answer.described) for part, answer in zip(parts, found, strict=True)]
    design = _merged(facts, [names.design(item.design) for names, item in pairs])
    described = Described(
        design=design,
        feasible=all(item.feasible for _, item in pairs),
        shortfalls=tuple(
            replace(one, demand=names.worded(one.demand), subject=names.worded(one.subject))
            for names, item in pairs
            for one in item.shortfalls
        ),
        binding=tuple((names.worded(name), share) for names, item in pairs for name, share in item.binding),
        starts_tried=sum(item.starts_tried for _, item in pairs),
        evaluations=sum(item.evaluations for _, item in pairs),
        contradictions=tuple(
            Contradiction(
                demands=tuple(names.path(key) for key in one.demands),
                best_found=f"On the {names.bank} bank: {names.worded(one.best_found)}",
            )
            for names, item in pairs
            for one in item.contradictions
        ),
        unheeded=unheeded(facts.held, design),
        notes=tuple(f"On the {names.bank} bank: {names.worded(note)}" for names, item in pairs for note in item.notes),
        uncut_mm=max(item.uncut_mm for _, item in pairs),
        cramped=any(item.cramped for _, item in pairs),
        by_bank=tuple(item for _, item in pairs),
    )
    return Answer(described=described, facts=facts, by_bank=tuple(found))


def _merged(facts: JobFacts, designs: Sequence[Design]) -> Design:
    groups = {group: tuple(chain(*(getattr(one, group) for one in designs))) for group in KINDS.values()}
    whole = replace(designs[0], **groups)
    return replace(whole, standing=standing(whole, facts.sheet, facts.held))
