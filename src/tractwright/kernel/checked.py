"""Joining and cutting of exact solids, every result compared with the same operation on meshes.

The kernel's own check passes empty and wrong results, so it is not enough: the change of volume must be that of the
mesh twins, and one valid solid must come out. Where it does not, a ladder of retries follows: a looser tolerance, one
tool at a time, the tools in the other order. What was needed is recorded; after the last rung a KernelError names the
step.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from manifold3d import Manifold
from OCP.BRepAlgoAPI import BRepAlgoAPI_BooleanOperation, BRepAlgoAPI_Cut, BRepAlgoAPI_Fuse
from OCP.collections import List_TopoDS_Shape

from tractwright.errors import KernelError
from tractwright.kernel.faults import kernel_step
from tractwright.kernel.measure import is_valid, rough_volume, volume
from tractwright.kernel.mesh import mesh_body, tessellate
from tractwright.kernel.solid import Solid, one_solid
from tractwright.kernel.twins import joined, lumps

_LOOSENESS_MM = (0.0, 1e-5, 1e-4, 1e-3)
_SHARE_OF_CHANGE = 0.005
_SHARE_OF_WHOLE = 2e-5
_LEAST_MM3 = 10.0
_CHORD_MM = 0.02
_ANGLE_RAD = 0.15


@dataclass(frozen=True, eq=False, slots=True, kw_only=True)
class Checked:
    """An exact solid and its mesh twin, which agree, and the rungs that were needed to make it."""

    solid: Solid
    twin: Manifold
    rungs: tuple[str, ...] = ()


def checked(solid: Solid) -> Checked:
    """A solid with its own triangles as twin, within 0.02 mm: booleans are compared on the very same surfaces."""
    return Checked(solid=solid, twin=mesh_body(*tessellate(solid, _CHORD_MM, _ANGLE_RAD)))


def fused(base: Checked, tools: Sequence[Checked], step: str) -> Checked:
    """One solid of several. Raises KernelError naming the step after the last rung."""
    return _climbed(BRepAlgoAPI_Fuse, base, tools, step) if tools else base


def cut(base: Checked, tools: Sequence[Checked], step: str) -> Checked:
    """The base without the tools. Raises KernelError naming the step after the last rung."""
    return _climbed(BRepAlgoAPI_Cut, base, tools, step) if tools else base


_Operation = Callable[[], BRepAlgoAPI_BooleanOperation]


def _climbed(operation: _Operation, base: Checked, tools: Sequence[Checked], step: str) -> Checked:
    reasons: list[str] = []
    for looseness in _LOOSENESS_MM:
        try:
            rung = f"{step}: looseness {looseness:g} mm" if looseness else ""
            return _noted(_once(operation, base, tools, step, looseness), rung)
        except KernelError as fault:
            reasons.append(fault.reason)
    if len(tools) == 1:
        raise KernelError(step, reasons[0])
    return _one_at_a_time(operation, base, tools, step)


def _one_at_a_time(operation: _Operation, base: Checked, tools: Sequence[Checked], step: str) -> Checked:
    fault = KernelError(step, "no order of the tools works")
    for order, rung in ((list(tools), "one at a time"), (list(tools)[::-1], "one at a time, backwards")):
        try:
            result = base
            for tool in order:
                result = _climbed(operation, result, [tool], step)
            return _noted(result, f"{step}: {rung}")
        except KernelError as found:
            fault = found
    raise fault


def _once(operation: _Operation, base: Checked, tools: Sequence[Checked], step: str, looseness: float) -> Checked:
    twin = base.twin + joined([tool.twin for tool in tools]) if operation is BRepAlgoAPI_Fuse else base.twin
    if operation is BRepAlgoAPI_Cut:
        twin = base.twin - joined([tool.twin for tool in tools])
    solid = _kernel_result(operation, base.solid, [tool.solid for tool in tools], step, looseness)
    change = twin.volume() - base.twin.volume()
    allowed = _SHARE_OF_CHANGE * abs(change) + _SHARE_OF_WHOLE * abs(twin.volume()) + _LEAST_MM3
    off = abs(rough_volume(solid) - rough_volume(base.solid) - change)
    off = abs(volume(solid) - volume(base.solid) - change) if off > allowed else off
    if off > allowed:
        raise KernelError(step, f"volume changes by {off:.1f} mm3 more or less than on meshes (allowed {allowed:.1f})")
    if lumps(twin) != 1:
        raise KernelError(step, f"{lumps(twin)} separate parts come out on meshes, not one")
    if not is_valid(solid):
        raise KernelError(step, "the kernel's own check fails")
    return replace(base, solid=solid, twin=twin, rungs=(*base.rungs, *(rung for tool in tools for rung in tool.rungs)))


def _kernel_result(operation: _Operation, base: Solid, tools: Sequence[Solid], step: str, looseness: float) -> Solid:
    work = operation()
    work.SetArguments(_listed([base]))
    work.SetTools(_listed(tools))
    work.SetNonDestructive(True)
    work.SetRunParallel(False)
    if looseness:
        work.SetFuzzyValue(looseness)
    with kernel_step(step):
        work.Build()
    if not work.IsDone():
        raise KernelError(step, "the kernel did not finish")
    return one_solid(work.Shape(), step)


def _listed(solids: Sequence[Solid]) -> List_TopoDS_Shape:
    shapes = List_TopoDS_Shape()
    for solid in solids:
        shapes.Append(solid.shape)
    return shapes


def _noted(result: Checked, rung: str) -> Checked:
    return replace(result, rungs=(*result.rungs, rung)) if rung else result
