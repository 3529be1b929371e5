"""Cuts of one set-up that are alike, as one line: a reader sees one groove on four mouths, not four grooves."""

from collections.abc import Iterable

from tractwright.make.records import Operation


def told_together(operations: Iterable[Operation]) -> tuple[Operation, ...]:
    """The same, those of one kind with the same tools and amounts as one where the first of them stood, minutes added up."""
    groups: dict[tuple[object, ...], list[Operation]] = {}
    for one in operations:
        groups.setdefault((one.tools, one.how, one.sway, one.minutes, one.what.split()[-1]), []).append(one)
    return tuple(group[0] if len(group) == 1 else _as_one(group) for group in groups.values())


def _as_one(group: list[Operation]) -> Operation:
    first, many = group[0], len(group)
    low, high = (sum(one.minutes[k] for one in group) for k in (0, 1))
    return Operation(
        what=_named([one.what for one in group]), tools=first.tools, minutes=(low, high),
        how=f"each of {many}: {first.how}" if first.how else first.how, sway=first.sway,
    )  # fmt: skip


def _named(names: list[str]) -> str:
    """One name and how often; of several that differ in a word, that word of each."""
    if len(set(names)) == 1:
        return f"{names[0]} x {len(names)}"
    words = [name.split() for name in names]
    shortest = min(len(name) for name in words)
    head = next((k for k in range(shortest) if len({name[k] for name in words}) > 1), shortest)
    tail = next((k for k in range(shortest - head) if len({name[-1 - k] for name in words}) > 1), shortest - head)
    own = [" ".join(name[head : len(name) - tail]) for name in words]
    return " ".join([*words[0][:head], ", ".join(own), *words[0][len(words[0]) - tail :]])
