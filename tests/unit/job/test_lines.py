"""Where keys stand in a text, and what is said of lines that are no TOML."""

import pytest

from tractwright.job.lines import key_lines, nearest_line, spelled
from tractwright.job.syntax import parsed

TEXT = '''\
title = "a # b = 3"
a.b . "c.d" = 1
"q.x" = """
k = 5
"""
list = [1, # x
  2, { z = 3, w = [ {v = 1}, 4 ] },
]
[t]
y = [[1, 2],
  [3, 4]]
[[l]]
n = 1
[l.s]
m = 2
[[l.u]]
[[l]]
e = []
f = {}
[[l.u]]
k = '[[x]]'
[ "z k" . b ]
"odd\\tkey" = 3'''


def test_every_way_of_writing_a_key() -> None:
    lines = key_lines(TEXT)
    assert lines["title",] == 1
    assert lines["a", "b", "c.d"] == 2
    assert lines["q.x",] == 3
    assert ("k",) not in lines
    assert lines["list", 1] == 7
    assert lines["list", 2, "w", 0, "v"] == 7
    assert lines["t", "y", 1, 0] == 11
    assert lines["l",] == 12
    assert lines["l", 0, "s", "m"] == 15
    assert lines["l", 1] == 17
    assert lines["l", 1, "u", 0, "k"] == 21
    assert lines["z k", "b", "odd\tkey"] == 23


def test_the_nearest_line_of_what_is_not_written() -> None:
    lines = key_lines(TEXT)
    assert nearest_line(lines, ("l", 1, "missing")) == 17
    assert nearest_line(lines, ("nowhere", "at", "all")) == 0


def test_items_are_counted_from_one_when_spelled() -> None:
    assert spelled(("pattern", "screw", 1, "at", 0)) == "pattern.screw[2].at[1]"


SYNTAX = [
    # text, keys at fault, lines, words of the last message
    ("a = 86 mm\nb = petrol\nc = 3\n", ["a", "b"], [1, 2], 'b = "petrol"'),
    ("[x]\nd = .5\ne = True\nf = 1,5\n", ["x.d", "x.e", "x.f"], [2, 3, 4], "f = 1.5"),
    ("e = True\n", ["e"], [1], "e = true"),
    ("d = 5.\n", ["d"], [1], "d = 5"),
    ("g = \u201cM8\u201d\n", ["g"], [1], 'g = "M8"'),
    ("[x]\na = 1\na = 2\n", ["x.a"], [3], "line 2"),
    ("[x]\n[x]\n", ["(syntax)"], [2], "line 1"),
    ("[x\nb = 1\n", ["(syntax)"], [1], "']'"),
    ("at = [\n 1,\n 2\nb = 3\n[c]\n", ["at"], [1], "unclosed array"),
    ("q = 1\na = '''x\nb = 2\n", ["a"], [2], "closed again"),
    ('q = 1\na = """x\nb = 2\n', ["a"], [2], "closed again"),
    ("a = { b = 1, c = 2\nd = 3\n", ["a"], [1], "unclosed inline table"),
    ("a: 5\n", ["(syntax)"], [1], "'='"),
    ("// comment\n", ["(syntax)"], [1], "invalid statement"),
]


@pytest.mark.parametrize(("text", "keys", "lines", "words"), SYNTAX)
def test_lines_that_are_no_toml(text: str, keys: list[str], lines: list[int], words: str) -> None:
    faults = parsed(text).faults
    assert [fault.key for fault in faults] == keys
    assert [fault.line for fault in faults] == lines
    assert words in faults[-1].accepted


def test_the_rest_is_read_where_it_can_be_trusted() -> None:
    result = parsed("[x]\na = 86 mm\nb = 2\n")
    assert result.trusted
    assert result.data == {"x": {"b": 2}}
    assert not parsed("[x\nb = 1\n").trusted
