"""A head piece drawn in another library, laid on the head: on its pattern, as drawn, by the user's word.

The source of every expected value is the drawing itself (`drawn_heads.py`), drawn by build123d.
"""

import numpy as np
import pytest
from read_heads import PLAIN, head_in

from tractwright.design.pattern import Pattern
from tractwright.design.records import Bank, HeadHole, Port
from tractwright.errors import SheetError
from tractwright.geometry.frames import Frame
from tractwright.geometry.outlines import circle
from tractwright.own.head_records import OwnHead
from tractwright.own.pattern import pattern_of, pattern_with
from tractwright.own.records import OwnFile


def _pattern(step: tuple[float, float], turn_deg: float) -> Pattern:
    """The head's own pattern, its middle moved and turned in the head face."""
    turn = np.radians(turn_deg)

    def there(place: tuple[float, float]) -> tuple[float, float]:
        x, y = place
        return (
            float(x * np.cos(turn) - y * np.sin(turn) + step[0]),
            float(x * np.sin(turn) + y * np.cos(turn) + step[1]),
        )

    ports = tuple(
        Port(name=f"p{k}", bank="a", cylinders=(k,), at_mm=there((x, 0.0)), outline=circle(PLAIN.bore), turn_deg=0.0,
             axis=(0.0, 0.0, 1.0))
        for k, x in enumerate(PLAIN.x, start=1)
    )  # fmt: skip
    holes = tuple(
        HeadHole(name=f"s{k}", bank="a", at_mm=there(place), thread="M8", depth_mm=20.0, stud=False)
        for k, place in enumerate(PLAIN.head_screws[:-1], start=1)
    )
    return Pattern(banks=(Bank(name="a", frame=Frame()),), ports=ports, head_holes=holes)


def test_it_is_laid_on_the_heads_ports_and_screws(turned: OwnFile):
    found = head_in(turned, _pattern((3.0, -2.0), 4.0))
    assert found.left_mm < 1e-3
    assert [port.at_mm for port in found.ports] == [
        pytest.approx(port.at_mm, abs=1e-3) for port in _pattern((3.0, -2.0), 4.0).ports
    ]
    assert [port.name for port in found.ports] == ["p1", "p2"]


def test_how_far_it_lies_off_a_head_that_differs_is_measured(drawn: OwnFile):
    """Ports 0.8 mm further apart than the piece's: 0.4 mm each is left, and told against the pattern."""
    known = _pattern((0.0, 0.0), 0.0)
    wider = tuple(
        Port(name=p.name, bank="a", cylinders=p.cylinders, at_mm=(p.at_mm[0] * (1 + 0.8 / PLAIN.pitch), 0.0),
             outline=circle(PLAIN.bore + 0.6), turn_deg=0.0, axis=p.axis)
        for p in known.ports
    )  # fmt: skip
    pattern = Pattern(banks=known.banks, ports=wider, head_holes=())
    found = head_in(drawn, pattern)
    assert found.left_mm == pytest.approx(0.4, abs=0.01)
    told = {item.what: item for item in pattern_with(found, pattern).measurements}
    width = told["p1 width in the own piece"]
    assert width.other_source is not None
    assert width.other_source - width.value == pytest.approx(0.6, abs=0.01)


def test_where_nothing_else_tells_of_the_head_the_piece_does(plain: OwnHead):
    pattern = pattern_of(plain, 22.0)
    assert sorted(hole.at_mm for hole in pattern.head_holes) == [
        pytest.approx(place, abs=0.01) for place in sorted(PLAIN.head_screws)
    ]
    assert {(hole.thread, hole.depth_mm) for hole in pattern.head_holes} == {("M8", 22.0)}


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ({"face": "face 9"}, "no joint face 'face 9'"),
        ({"solid": 2}, "1 to 1"),
    ],
)
def test_what_cannot_be_read_is_refused_in_words(drawn: OwnFile, words: dict[str, object], said: str):
    with pytest.raises(SheetError, match=said):
        head_in(drawn, **words)


def test_a_head_with_another_number_of_ports_is_refused(drawn: OwnFile):
    known = _pattern((0.0, 0.0), 0.0)
    with pytest.raises(SheetError, match="2 passages lead from its head face, and the head has 1 ports"):
        head_in(drawn, Pattern(banks=known.banks, ports=known.ports[:1], head_holes=()))


def test_as_drawn_it_has_to_face_the_head(turned: OwnFile, drawn: OwnFile):
    assert head_in(drawn, placed="as drawn").frame == Frame()
    with pytest.raises(SheetError, match="deg off"):
        head_in(turned, placed="as drawn")


def test_the_other_face_by_the_users_word(drawn: OwnFile, plain: OwnHead):
    """Named, the head face itself is taken for the one the next piece bolts to."""
    mouth = head_in(drawn, face="face 2")
    other = "face 1" if mouth.mouth_mm == plain.mouth_mm else "face 2"
    turned_about = mouth if other == "face 2" else head_in(drawn, face="face 1")
    assert (turned_about.head_mm, turned_about.mouth_mm) == (plain.mouth_mm, plain.head_mm)
