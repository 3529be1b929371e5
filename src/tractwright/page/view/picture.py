"""The small picture: the manifold in its room, turned by hand, coloured by what is asked of it, lit where a finding points."""

from collections.abc import Callable

import numpy as np
from nicegui import ui

from tractwright.design.records import Design
from tractwright.geometry.frames import Array, Vec3
from tractwright.page.drawn import SHADES, SHOWN_PER_MM

_TOWARDS_EYE = (-0.48, 0.52, 0.70)
_FAR = 1.35
"""How far the eye stands from the middle, as a share of the plenum's width."""
_SMALL, _LARGE = (440, 300), (980, 640)
_FRAMES = 10
"""A second: enough to turn it by hand, and little where a processor has to draw it."""
_SETTLED_S = 0.2
"""By then the browser has laid out what was changed."""


class Picture:
    """The picture with its choices. address : gives the address of a drawing, 'pieces', 'old' or a shade, for a revision."""

    def __init__(self, address: Callable[[str, int], str]) -> None:
        self._address = address
        self._shade, self._large = SHADES[0], False
        self._shown: tuple[object, ...] = ()
        self._seen = (-1, False, False)
        with ui.row().classes("items-center gap-2"):
            words = {shade: "plain" if shade == SHADES[0] else f"coloured by {shade}" for shade in SHADES}
            shades = ui.select(words, value=SHADES[0]).props('dense options-dense data-control="shade"')
            shades.on_value_change(lambda event: self._choose(str(event.value)))
            self._old = ui.checkbox("old part", value=True, on_change=self._draw).props("dense")
            ui.button("larger", on_click=self._resize).props("flat dense no-caps")
        self._frame = ui.element("div")
        with self._frame:
            self._scene = ui.scene(
                width=_SMALL[0], height=_SMALL[1], grid=False, background_color="#faf7f0", fps=_FRAMES
            )
        self._looked_at = False

    def look_at(self, design: Design) -> None:
        """Turn the eye to the manifold, once: after that it is where the hand left it."""
        if self._looked_at:
            return
        self._looked_at = True
        ends = np.array([runner.poles_mm[k] for runner in design.runners for k in (0, -1)])
        middle = (ends.min(axis=0) + ends.max(axis=0)) / 2.0 * SHOWN_PER_MM
        wide = _wide_mm(design, ends) * SHOWN_PER_MM
        eye = middle + np.array(_TOWARDS_EYE) * _FAR * wide
        self._scene.move_camera(
            x=float(eye[0]), y=float(eye[1]), z=float(eye[2]),
            look_at_x=float(middle[0]), look_at_y=float(middle[1]), look_at_z=float(middle[2]),
            up_x=0.0, up_y=1.0, up_z=0.0, duration=0.0,
        )  # fmt: skip

    def show(self, revision: int, *, pieces: bool, old_part: bool) -> None:
        """Draw a revision: the exact pieces where they are its own, else the description."""
        if self._seen != (revision, pieces, old_part):
            self._seen = (revision, pieces, old_part)
            self._draw()

    def light(self, at_mm: Vec3) -> None:
        """Show a place."""
        x, y, z = (value * SHOWN_PER_MM for value in at_mm)
        with self._scene:
            self._scene.sphere(0.07).material("#c01c0a").move(x, y, z)

    def _choose(self, shade: str) -> None:
        self._shade = shade
        self._draw()

    def _draw(self) -> None:
        revision, pieces, old_part = self._seen
        if revision < 0:
            return
        self._scene.delete_objects()
        with self._scene:
            self._scene.gltf(self._address("pieces" if pieces and self._shade == SHADES[0] else self._shade, revision))
            if old_part and self._old.value:
                self._scene.gltf(self._address("old", revision))

    def fit(self) -> None:
        """Take the size it has: once it is seen, and when it was made larger."""
        width, height = _LARGE if self._large else _SMALL
        self._scene.style(f"width:{width}px;height:{height}px;max-width:100%")
        ui.timer(_SETTLED_S, lambda: self._scene.run_method("resize"), once=True)

    def _resize(self) -> None:
        self._large = not self._large
        self._frame.classes("tw-large" if self._large else "", remove="" if self._large else "tw-large")
        self.fit()


def _wide_mm(design: Design, ends: Array) -> float:
    """How wide what is looked at is about: its widest plenum, or its row of mouths."""
    return max([float(np.ptp(ends[:, 0])), *(float(plenum.width_mm) for plenum in design.plena)])
