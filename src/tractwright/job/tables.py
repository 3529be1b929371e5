"""What every table of the sheet shares: keys without units, frozen, nothing unknown."""

from pydantic import BaseModel, ConfigDict

from tractwright.job.fields import Length

Vec2 = tuple[Length, Length]
Vec3 = tuple[Length, Length, Length]


def _key(name: str) -> str:
    """The sheet's key of a field: its name without the unit."""
    for unit in ("_mm", "_deg", "_bar", "_degc", "_rpm", "_l", "_nm", "_mm2"):
        if name.endswith(unit):
            return name.removesuffix(unit)
    return name


class Part(BaseModel):
    """A table of the sheet."""

    model_config = ConfigDict(frozen=True, extra="forbid", alias_generator=_key, populate_by_name=False)
