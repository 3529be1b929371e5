"""Children: a result, an error of the kernel, a crash and a bug each come back as what they are."""

import os

import pytest

from tractwright.errors import KernelError
from tractwright.kernel.child import Work, in_children
from tractwright.kernel.sewing import sewn_solid


def works(function, *arguments):
    return [Work(function=function, arguments=arguments, step="a step")]


def test_results_come_back_in_order_from_two_at_once():
    both = [Work(function=pow, arguments=(base, 2), step="a square") for base in (3, 4, 5)]
    assert in_children(both, at_once=2, limit_seconds=60.0) == [9, 16, 25]


def test_a_crash_is_a_kernel_error_naming_the_step():
    (result,) = in_children(works(os._exit, 3), at_once=1, limit_seconds=60.0)
    assert isinstance(result, KernelError)
    assert result.step == "a step"


def test_a_bug_is_not_swallowed():
    with pytest.raises(RuntimeError, match="ZeroDivisionError"):
        in_children(works(divmod, 1, 0), at_once=1, limit_seconds=60.0)


def test_a_kernel_error_keeps_its_step_and_reason():
    (result,) = in_children(works(sewn_solid, (), "sewing"), at_once=1, limit_seconds=60.0)
    assert isinstance(result, KernelError)
    assert (result.step, result.reason) == ("sewing", "the faces make no shell")
