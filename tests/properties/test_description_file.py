"""design.toml says the whole description: what is written is read again, whatever the description and the comments."""

import tempfile
import tomllib
import typing
from dataclasses import is_dataclass, replace
from pathlib import Path
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from tractwright.design.file import Held, read_design, read_held, unheeded, write_design
from tractwright.design.paths import KINDS, leaf_types, record_types
from tractwright.design.records import Design
from tractwright.design.text import design_text, rewritten
from tractwright.errors import SheetError

FOLDER = Path(tempfile.mkdtemp())
NUMBERS = st.floats(-1e6, 1e6).map(lambda value: round(value, 6) + 0.0)
TEXTS = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\r"), max_size=12)
NAMES = st.text("abz019_-. é'\"", min_size=1, max_size=6).filter(
    lambda name: name.strip(".") == name and ".." not in name
)


def of_type(hint: Any) -> st.SearchStrategy[Any]:
    """Any value of a field's type."""
    origin, inner = typing.get_origin(hint), typing.get_args(hint)
    if origin is typing.Literal:
        return st.sampled_from(inner)
    if origin is tuple and inner[-1] is Ellipsis:
        return st.lists(of_type(inner[0]), max_size=5).map(tuple)
    if origin is tuple:
        return st.tuples(*(of_type(item) for item in inner))
    if is_dataclass(hint):
        return records(typing.cast("type[Any]", hint))
    return {float: NUMBERS, int: st.integers(-1000, 1000), bool: st.booleans(), str: TEXTS}[hint]


def records(record: type[Any]) -> st.SearchStrategy[Any]:
    """Any record of a class; its name is one that a path can carry."""
    hints = typing.get_type_hints(record)
    fields = {name: NAMES if name == "name" else of_type(hint) for name, hint in hints.items()}
    return st.builds(record, **fields)


@st.composite
def designs(draw: st.DrawFn) -> Design:
    """A whole description with up to two records of each kind and some of its values marked."""
    groups = {
        group: draw(st.lists(records(record_types()[kind]), max_size=2, unique_by=lambda item: item.name).map(tuple))
        for kind, group in KINDS.items()
    }
    paths = [
        f"{kind}.{item.name}.{path}"
        for kind, group in KINDS.items()
        for item in groups[group]
        for path in leaf_types(type(item))
    ]
    marks = (
        st.dictionaries(st.sampled_from(paths), st.sampled_from(["held", "assumed"]), max_size=4)
        if paths
        else st.just({})
    )
    return Design(name=draw(TEXTS), standing=draw(marks), **groups)


def written(design: Design, name: str = "design.toml") -> Path:
    path = FOLDER / name
    path.unlink(missing_ok=True)
    write_design(design, path)
    return path


@settings(max_examples=40, deadline=None)
@given(designs())
def test_what_is_written_is_read_again(design: Design) -> None:
    assert read_design(written(design)) == design


@settings(max_examples=20, deadline=None)
@given(designs())
def test_what_is_held_is_what_is_marked_and_heeded(design: Design) -> None:
    """A held value that no manifold can have is told by its path, and nothing else is."""
    path = written(design)
    marked = {name for name, standing in design.standing.items() if standing == "held"}
    held = Held()
    told: set[str] = set()
    try:
        held = read_held(path, path)
    except SheetError as faulty:
        told = {fault.key for fault in faulty.faults}
    assert told <= marked
    assert told or set(held.held_paths()) == marked
    assert unheeded(held, design) == ()


@settings(max_examples=12, deadline=None)
@given(designs(), designs())
def test_written_over_anything_it_says_the_new(old: Design, new: Design) -> None:
    path = written(old)
    write_design(new, path)
    assert tomllib.loads(path.read_text(encoding="utf-8")) == tomllib.loads(design_text(new))


@settings(max_examples=20, deadline=None)
@given(designs(), st.data())
def test_no_comment_is_lost_and_nothing_moves(design: Design, data: st.DataObject) -> None:
    lines = design_text(design).split("\n")
    places = data.draw(st.sets(st.integers(0, len(lines) - 1), max_size=4))
    inside = _inside_of_lists(lines)
    for number in sorted(places - inside, reverse=True):
        lines.insert(number, f"# mine {number}")
    text = "\n".join(lines)
    assert rewritten(text, design) == text
    after = rewritten(text, replace(design, name="renamed"))
    assert all(f"# mine {number}" in after for number in places - inside)


def _inside_of_lists(lines: list[str]) -> set[int]:
    """Lines before which a comment would stand inside a list that runs over lines."""
    return {number for number, line in enumerate(lines) if line.startswith((" ", "]"))}
