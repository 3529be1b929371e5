"""A STEP file of the user's read whole: every solid with its joint faces, holes, passages."""

from pathlib import Path

from tractwright.errors import KernelError, SolidError
from tractwright.kernel.body import Body, ReadSolids
from tractwright.kernel.child import Work, in_children
from tractwright.own.faces import all_holes, joint_faces
from tractwright.own.holes import without_twins
from tractwright.own.passages import passages_and_chambers
from tractwright.own.records import OwnFile, OwnSolid

ACCEPTED = "a STEP file (ISO 10303-21) with at least one solid"
_LIMIT_SECONDS = 300.0


def read_own(path: Path) -> OwnFile:
    """What a file holds. Raises SolidError with the reason where it cannot be used."""
    read = _read(path)
    solids = tuple(own_solid(body) for body in read.bodies)
    return OwnFile(file=path.name, unit=read.unit, solids=solids, notes=read.notes)


def own_solid(body: Body) -> OwnSolid:
    """One solid's joint faces, holes, passages and chambers."""
    faces = joint_faces(body)
    passages, chambers = passages_and_chambers(body, faces)
    on_joints = tuple(hole for face in faces for hole in face.holes)
    holes = without_twins([*on_joints, *all_holes(body)])
    notes = () if faces else (f"{body.name}: no plane face with an opening or with three holes: no joint face",)
    return OwnSolid(
        name=body.name,
        body=body,
        joint_faces=faces,
        holes=holes,
        passages=passages,
        chambers=chambers,
        notes=notes,
    )


def _read(path: Path) -> ReadSolids:
    """In a process of its own: files of others make the kernel fall over at times."""
    work = Work(function=read_file, arguments=(path,), step="reading STEP")
    (result,) = in_children([work], at_once=1, limit_seconds=_LIMIT_SECONDS)
    if isinstance(result, KernelError):
        raise SolidError(path.name, result.reason, ACCEPTED)
    return result


def read_file(path: Path) -> ReadSolids:
    """The file through the kernel, which is loaded only here."""
    from tractwright.kernel.step_in import read_solids

    return read_solids(path)
