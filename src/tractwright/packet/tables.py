"""Tables as rows and as csv: what single stages found, for the screen, for spreadsheets and for programs."""

import csv
import io
import math
from collections.abc import Iterable

from tractwright.air.records import Breathing
from tractwright.design.pattern import Measurement, Pattern

Row = tuple[object, ...]


def csv_text(header: Iterable[str], rows: Iterable[Iterable[object]]) -> bytes:
    """Rows as csv with a header, floats to a thousandth; what is not finite stays empty."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(header)
    writer.writerows([_plain(value) for value in row] for row in rows)
    return text.getvalue().encode()


def _plain(value: object) -> object:
    if isinstance(value, float):
        return round(value, 3) if math.isfinite(value) else ""
    return value


BREATHING_COLUMNS = ("rpm", "delivered_ve", "trapped_ve", "torque_Nm", "power_kW", "residual")


def breathing_rows(breathing: Breathing) -> list[Row]:
    """A row a speed."""
    b = breathing
    return list(zip(b.rpm, b.delivered_ve, b.trapped_ve, b.torque_nm, b.power_kw, b.residual, strict=True))


QUESTION_COLUMNS = ("change", "torque_about_wanted_percent", "torque_near_highest_percent")


def question_rows(breathing: Breathing) -> list[Row]:
    """A row a change: what it does to torque."""
    unequal = breathing.unequal
    changes: list[Row] = [(c.what, 100.0 * c.about_wanted, 100.0 * c.near_highest) for c in breathing.sensitivity]
    equal = f"all runners as long (they differ by {unequal.differ_mm:.1f} mm)"
    return [*changes, (equal, 100.0 * unequal.about_wanted, 100.0 * unequal.near_highest)]


RULE_OF_THUMB_COLUMNS = ("rule_of_thumb", "value", "unit", "what_it_takes_and_leaves_out")


def rule_of_thumb_rows(breathing: Breathing) -> list[Row]:
    """A row a rule, to stand beside the simulation."""
    return [(rule.name, rule.value, rule.unit, rule.label) for rule in breathing.rules_of_thumb]


def air_tables(breathing: Breathing) -> dict[str, bytes]:
    """air.csv: a row a speed; length_chart.csv: trapped filling, a row a length, a column a speed; changes.csv;
    rules_of_thumb.csv; flow_bench.csv; traces.csv; mach.csv: a row a place.
    """
    b, traces, bench = breathing, breathing.traces, breathing.bench
    speeds = [f"{rpm:.0f}_rpm" for rpm in b.length_chart_rpm]
    lengths = zip(b.length_chart_mm, b.length_chart_ve, strict=True)
    seen = (traces.crank_deg, traces.cylinder_bar, traces.port_bar, traces.plenum_bar, traces.mouth_speed)
    cylinders = [f"trapped_ve_{number}" for number in range(1, len(b.cylinder_ve[0]) + 1)]
    by_cylinder = zip(breathing_rows(b), b.cylinder_ve, strict=True)
    flow = ("lift_mm", "flow_l_s", "port_alone_l_s")
    return {
        "air.csv": csv_text([*BREATHING_COLUMNS, *cylinders], ((*row, *filling) for row, filling in by_cylinder)),
        "length_chart.csv": csv_text(["length_mm", *speeds], ((length, *filling) for length, filling in lengths)),
        "changes.csv": csv_text(QUESTION_COLUMNS, question_rows(b)),
        "rules_of_thumb.csv": csv_text(RULE_OF_THUMB_COLUMNS, rule_of_thumb_rows(b)),
        "flow_bench.csv": csv_text(flow, ((row.lift_mm, row.flow_l_s, row.port_alone_l_s) for row in bench.rows)),
        "traces.csv": csv_text(
            ("crank_deg", "cylinder_bar", "port_bar", "plenum_bar", "mouth_m_s"), zip(*seen, strict=True)
        ),
        "mach.csv": csv_text(
            ("runner", "place_mm", "mach"),
            (
                (along.runner, place, mach)
                for along in b.mach_along
                for place, mach in zip(along.place_mm, along.mach, strict=True)
            ),
        ),
    }


PATTERN_COLUMNS = ("kind", "name", "bank", "x_mm", "y_mm", "size", "turn_deg")


def pattern_rows(pattern: Pattern) -> list[Row]:
    """Ports, then holes, in their bank's x-y."""
    ports: list[Row] = [
        (
            "port",
            port.name,
            port.bank,
            *port.at_mm,
            f"{port.outline.kind.replace('_', ' ')} {port.outline.width_mm:.2f} x {port.outline.height_mm:.2f}",
            port.turn_deg,
        )
        for port in pattern.ports
    ]
    holes: list[Row] = [
        (
            "stud" if hole.stud else "hole",
            hole.name,
            hole.bank,
            *hole.at_mm,
            f"{hole.thread} {hole.depth_mm:.1f} deep",
            "",
        )
        for hole in pattern.head_holes
    ]
    return ports + holes


MEASURED_COLUMNS = ("what", "value", "unit", "standard", "residual", "sure", "source", "other_source", "other")


def measured_rows(measurements: Iterable[Measurement]) -> list[Row]:
    """What each source gave, the standard size it is taken for, how well it fits, and what another source says."""
    return [
        (
            m.what,
            m.value,
            m.unit,
            "" if m.standard is None else m.standard,
            m.residual,
            m.sure,
            m.source,
            "" if m.other_source is None else m.other_source,
            "" if m.other_source is None else m.other,
        )
        for m in measurements
    ]
