"""[[piece]]: pieces the user has drawn already; the tool designs the others onto them."""

from typing import Literal

from tractwright.job.fields import Count, Length, Name, Part, needed, silent


class OwnPiece(Part):
    """A piece of the user's own, as a STEP file: it is read, never changed, and what is missing is designed onto it."""

    own: Name = needed("its STEP file, beside the sheet", "head.step")
    kind: Literal["head"] = silent(
        "head",
        "what it is: head, the piece that bolts to the cylinder head and carries the runners as far as their mouths",
        "head",
    )
    solid: Count | None = silent(
        None, "which solid of the file it is, as `tractwright measure` counts them", "the largest", example=1, ge=1
    )
    face: Name | None = silent(
        None,
        "the face that the next piece bolts to, by the name `tractwright measure` gives it",
        "of the two faces that the passages join, the one that is not the head's",
        example="face 2",
    )
    placed: Literal["by its ports", "as drawn"] | None = silent(
        None,
        "how it comes into the job axes: by its ports, its head face laid on the head's ports and screws; as drawn, the "
        "axes of its file are the job axes",
        "by its ports where [pattern], [scan] or [[gasket]] places the ports, else as drawn",
        example="as drawn",
    )
    thread: Name | None = silent(
        None,
        "thread of the tapped holes in the face that the next piece bolts to",
        "the one the bore is drilled for",
        example="M6",
    )
    head_depth_mm: Length = silent(
        22.0,
        "full thread in the cylinder head behind its holes, from the head's face, where nothing else tells of them",
        "22 mm",
        example="22 mm",
        gt=3,
        le=80,
    )
