"""[strength]: what is measured on the built solids beside the formulas."""

from tractwright.job.fields import Part, Switch, silent


class StrengthFacts(Part):
    """How closely strength is looked at. Formulas of plates, rings and beams always answer."""

    on_solids: Switch = silent(
        False,
        "true to measure stress, opening of the seals and vibrations on the built solids too, by finite elements; adds some "
        "half a minute to a run, once for a description",
        "formulas only",
    )
