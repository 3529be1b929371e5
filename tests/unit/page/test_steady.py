"""What has not changed is not drawn anew."""

from contextlib import nullcontext

from tractwright.page.view.steady import Steady


class Place(nullcontext[None]):
    """Counts how often it is emptied."""

    cleared = 0

    def clear(self):
        self.cleared += 1


def test_a_button_stays_where_it_is_while_nothing_about_it_changes():
    """Once a click on 'give back' was lost: the list had been replaced between press and release."""
    place, drawn = Place(), []
    steady = Steady(place)
    for what in ((("a", 1),), (("a", 1),), (("a", 2),), (("a", 2),)):
        steady.show(what, lambda: drawn.append(1))
    assert len(drawn) == place.cleared == 2


def test_an_empty_thing_is_drawn_once_too():
    drawn = []
    steady = Steady(Place())
    steady.show((), lambda: drawn.append(1))
    steady.show((), lambda: drawn.append(1))
    assert len(drawn) == 1
