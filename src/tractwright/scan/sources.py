"""Readings of the callipers laid over the pattern that scan, gasket or sheet give roughly."""

from collections.abc import Mapping
from dataclasses import replace

from tractwright.design.pattern import Measurement
from tractwright.design.records import Port
from tractwright.errors import Fault, SheetError
from tractwright.job.source_tables import Reading
from tractwright.scan.agree import DIFFER_MM
from tractwright.scan.callipers import CalliperFit, Feature, fit_readings
from tractwright.scan.measure import Measured
from tractwright.standards.holes import clearance_hole

DOUBTFUL = 0.3
"""How sure a reading is that is to be repeated; judgement."""
_SOURCE = "callipers"


def with_readings(measured: Measured, readings: tuple[Reading, ...], base: str, *, ask: bool) -> Measured:
    """The pattern put right by readings. base : the source that the rough places come from; ask : whether places that
    differ by more than DIFFER_MM from it are to be asked about.

    Raises SheetError where a reading names what is not there, or reads straight what is not round.
    """
    if not readings:
        return measured
    rough = features_of(measured)
    _refuse_unknown(rough, readings)
    fit = fit_readings(rough, readings)
    figures = [*_reading_figures(fit), *_place_figures(fit, rough, base, ask=ask)]
    return replace(
        measured,
        ports=tuple(_port(port, fit) for port in measured.ports),
        holes=tuple(
            replace(hole, at_mm=fit.features[hole.name].at_mm) if hole.name in fit.features else hole
            for hole in measured.holes
        ),
        measurements=(*measured.measurements, *figures),
        notes=(*measured.notes, *_notes(fit)),
    )


def features_of(measured: Measured) -> dict[str, Feature]:
    """Every port and hole of a pattern by name, as roughly known."""
    sizes = {figure.what: figure.value for figure in measured.measurements}
    found = {
        port.name: Feature(
            at_mm=port.at_mm,
            width_mm=port.outline.width_mm,
            height_mm=port.outline.height_mm,
            is_round=port.outline.kind == "circle",
        )
        for port in measured.ports
    }
    for hole in measured.holes:
        size = sizes.get(f"hole {hole.name} diameter", clearance_hole(hole.thread).medium_mm)
        found[hole.name] = Feature(at_mm=hole.at_mm, width_mm=size, height_mm=size, is_round=True)
    return found


def _refuse_unknown(rough: Mapping[str, Feature], readings: tuple[Reading, ...]) -> None:
    faults: list[Fault] = []
    for i, reading in enumerate(readings):
        key = f"reading[{i + 1}].of"
        faults += [Fault(key, name, f"one of {', '.join(rough)}") for name in reading.of if name not in rough]
        straight = len(reading.of) == 2 and reading.along == "straight" and reading.over != "centres"
        if straight and not all(rough[name].is_round for name in reading.of if name in rough):
            faults.append(Fault(key, "straight over a port that is not round", 'along = "x" or along = "y"'))
    if faults:
        raise SheetError("job.toml", tuple(faults))


def _reading_figures(fit: CalliperFit) -> list[Measurement]:
    figures: list[Measurement] = []
    for i, item in enumerate(fit.judged):
        sure = DOUBTFUL if fit.repeat == i else 0.9 if item.in_deviations else 0.6
        figures.append(
            Measurement(
                what=f"reading {i + 1} {item.reading.over} {' to '.join(item.reading.of)}",
                value=item.reading.reads_mm,
                unit="mm",
                residual=item.residual_mm,
                sure=sure,
                source=_SOURCE,
            )
        )
    return figures


def _place_figures(fit: CalliperFit, rough: Mapping[str, Feature], base: str, *, ask: bool) -> list[Measurement]:
    figures: list[Measurement] = []
    placed = {name for item in fit.judged if len(item.reading.of) == 2 for name in item.reading.of}
    for name, feature in fit.features.items():
        if name not in placed:
            continue
        kind = "port" if name.startswith("p") else "hole"
        for k, axis in enumerate("xy"):
            value, before = feature.at_mm[k], rough[name].at_mm[k]
            figures.append(
                Measurement(
                    what=f"{kind} {name} {axis}",
                    value=value,
                    unit="mm",
                    residual=fit.deviations_mm[name][k],
                    sure=0.9 if name not in fit.loose else 0.5,
                    other_source=before if ask and abs(value - before) > DIFFER_MM else None,
                    source=_SOURCE,
                    other=base,
                )
            )
    return figures


def _port(port: Port, fit: CalliperFit) -> Port:
    """The port where the readings put it, as large as they say."""
    if port.name not in fit.features:
        return port
    found = fit.features[port.name]
    outline = replace(port.outline, width_mm=found.width_mm, height_mm=found.height_mm)
    return replace(port, at_mm=found.at_mm, outline=outline)


def _notes(fit: CalliperFit) -> tuple[str, ...]:
    notes: list[str] = []
    if fit.repeat is not None:
        item = fit.judged[fit.repeat]
        others = item.reading.reads_mm + item.residual_mm / item.redundancy
        off = f"{abs(item.in_deviations):.1f} standard deviations off"
        notes.append(f"repeat reading {fit.repeat + 1} ({item.words}): the others make it {others:.2f} mm, {off}")
    if fit.loose:
        notes.append(f"the readings do not fix where {', '.join(fit.loose)} lie: measure each to one feature more")
    unchecked = [
        str(i + 1) for i, item in enumerate(fit.judged) if item.in_deviations == 0.0 and item.redundancy < 0.02
    ]
    if unchecked:
        notes.append(f"no other reading checks reading {', '.join(unchecked)}: a slip there would not be noticed")
    return tuple(notes)
