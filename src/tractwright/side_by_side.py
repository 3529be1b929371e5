"""Two results at once: one made in a thread of its own, the other meanwhile here."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import TypeVar

One = TypeVar("One")
Other = TypeVar("Other")


def side_by_side(one: Callable[[], One], other: Callable[[], Other]) -> tuple[One, Other]:
    """Both results. Worth it where one of them mostly waits, such as for child processes. Raises what either raises."""
    with ThreadPoolExecutor(max_workers=1) as pool:
        begun = pool.submit(one)
        made = other()
        return begun.result(), made
