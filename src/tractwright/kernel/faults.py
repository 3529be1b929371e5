"""The kernel's own exceptions turned into ours. They share no root but Exception, so they are told by where they live."""

from collections.abc import Generator
from contextlib import contextmanager

from tractwright.errors import KernelError


@contextmanager
def kernel_step(step: str) -> Generator[None]:
    """Within it, or in a function it decorates, whatever the kernel throws becomes a KernelError naming the step."""
    try:
        yield
    except Exception as fault:
        if not type(fault).__module__.startswith("OCP"):
            raise
        raise KernelError(step, f"the kernel gave up ({type(fault).__name__} {fault})".replace(" )", ")")) from fault
