"""What splitting a piece across a passage would do, in words."""

from tractwright.reach.records import PassageReach


def parting_words(passage: PassageReach, end: str) -> str:
    """What a split does, as tried from both halves' own ends, and what else there is. end : that its place is counted from."""
    left = passage.left_if_split_mm
    at = f"{passage.split_at_mm:.0f} mm from {end}" if passage.split_at_mm is not None else ""
    if not at or left is None:
        return f"split the piece{f' at about {at}' if at else ''}, take a longer cutter, or widen the bend."
    if left > 0.0:
        return f"split at {at}, {left:.0f} mm of the halves are left. Take a longer cutter, widen the bend, or split twice."
    return f"split at {at}, both halves are reached; or take a longer cutter, or widen the bend."
