"""Scenes as PNG files, several drawn at once."""

import io
import os
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from typing import TypeVar

import matplotlib.image
import numpy as np

from tractwright.packet.picture.scene import Drawn, View, draw

Name = TypeVar("Name")
Scene = tuple[tuple[Drawn, ...], View]


def pngs(scenes: Mapping[Name, Scene]) -> dict[Name, bytes]:
    """Each scene as PNG, by its name and in its place. The loops of a picture hold no lock, so threads share the work."""
    with ThreadPoolExecutor(max_workers=os.cpu_count() or 1) as workers:
        return dict(zip(scenes, workers.map(_png, scenes.values()), strict=True))


def _png(scene: Scene) -> bytes:
    out = io.BytesIO()
    image = np.ascontiguousarray(draw(*scene))
    matplotlib.image.imsave(out, image, format="png", metadata={"Software": "tractwright"})
    return out.getvalue()
