"""The line of a key holds: every value of a random text is found on the line the map names for it."""

from typing import Any

import tomlkit
from hypothesis import given, settings
from hypothesis import strategies as st

from tractwright.job.lines import KeyPath, key_lines

names = st.text(st.characters(codec="ascii", exclude_categories=["Cc"]), min_size=1, max_size=6)
values = st.recursive(
    st.just(0),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(names, inner, max_size=3),
    max_leaves=12,
)


def numbered(value: Any, counter: list[int]) -> Any:
    """Each zero becomes a number of its own."""
    if isinstance(value, dict):
        return {key: numbered(inner, counter) for key, inner in value.items()}
    if isinstance(value, list):
        return [numbered(inner, counter) for inner in value]
    counter[0] += 1
    return 900_000 + counter[0]


def leaves(value: Any, path: KeyPath) -> list[tuple[KeyPath, int]]:
    if isinstance(value, int):
        return [(path, value)]
    items = value.items() if isinstance(value, dict) else enumerate(value)
    return [found for key, inner in items for found in leaves(inner, (*path, key))]


@settings(deadline=None)
@given(st.dictionaries(names, values, max_size=5), st.booleans())
def test_each_value_stands_on_the_line_named_for_it(tree: dict[str, Any], spread: bool) -> None:
    tree = numbered(tree, [0])
    document = tomlkit.parse(tomlkit.dumps(tree))
    if spread:
        for item in document.values():
            if isinstance(item, tomlkit.items.Array):
                item.multiline(True)
    text = tomlkit.dumps(document)
    lines = key_lines(text)
    for path, number in leaves(tree, ()):
        assert str(number) in text.split("\n")[lines[path] - 1]
