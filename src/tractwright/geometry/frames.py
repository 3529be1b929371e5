"""Right-handed frames in space, and frames carried along a curve without spinning."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Vec3 = tuple[float, float, float]
Array = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """A place with three unit axes at right angles, right-handed (x cross y = z)."""

    origin_mm: Vec3 = (0.0, 0.0, 0.0)
    x: Vec3 = (1.0, 0.0, 0.0)
    y: Vec3 = (0.0, 1.0, 0.0)
    z: Vec3 = (0.0, 0.0, 1.0)

    def matrix(self) -> Array:
        """Rows are the axes (3, 3)."""
        return np.array([self.x, self.y, self.z])

    def to_world(self, local_mm: npt.ArrayLike) -> Array:
        """Points (..., 3) of this frame, or (..., 2) with z = 0, in the outer frame (..., 3)."""
        points = np.asarray(local_mm, dtype=float)
        return np.asarray(self.origin_mm) + points @ self.matrix()[: points.shape[-1]]

    def to_local(self, world_mm: npt.ArrayLike) -> Array:
        """Points (..., 3) of the outer frame in this frame."""
        return (np.asarray(world_mm, dtype=float) - np.asarray(self.origin_mm)) @ self.matrix().T

    def turn(self, local: npt.ArrayLike) -> Array:
        """Directions (..., 3) of this frame in the outer frame: no shift."""
        return np.asarray(local, dtype=float) @ self.matrix()

    def moved(self, local_mm: Vec3) -> "Frame":
        """The same axes with the origin moved by a step given in this frame."""
        return Frame(origin_mm=vec3(self.to_world(local_mm)), x=self.x, y=self.y, z=self.z)


def vec3(values: npt.ArrayLike) -> Vec3:
    """Three plain floats."""
    a, b, c = (float(value) for value in np.asarray(values, dtype=float).ravel())
    return (a, b, c)


def unit(vector: npt.ArrayLike) -> Array:
    """The same direction (..., 3) with length 1."""
    array = np.asarray(vector, dtype=float)
    return array / np.linalg.norm(array, axis=-1, keepdims=True)


def frame_from_normal(origin_mm: npt.ArrayLike, normal: npt.ArrayLike, x_hint: npt.ArrayLike) -> Frame:
    """The frame whose z is the normal and whose x is the hint made square to it."""
    z = unit(normal)
    hint = np.asarray(x_hint, dtype=float)
    x = unit(hint - z * (hint @ z))
    return Frame(origin_mm=vec3(origin_mm), x=vec3(x), y=vec3(np.cross(z, x)), z=vec3(z))


def carried_frames(points_mm: Array, tangents: Array, first_x: Array) -> tuple[Array, Array]:
    """Rotation-minimising axes along a curve by double reflection.

    points_mm, tangents : (n, 3); first_x : a direction at the first point, made square to its tangent.
    Gives the two cross axes u, v (n, 3), u cross v = tangent.
    Source: Wang, Juettler, Zheng, Liu (2008), ACM Trans. Graphics 27(1), art. 2 (memory).
    """
    count = len(points_mm)
    u = np.empty((count, 3))
    u[0] = unit(first_x - tangents[0] * (first_x @ tangents[0]))
    for i in range(count - 1):
        step = points_mm[i + 1] - points_mm[i]
        square = step @ step
        if square < 1e-18:
            u[i + 1] = u[i]
            continue
        u_mirrored = u[i] - step * (2.0 / square * (step @ u[i]))
        t_mirrored = tangents[i] - step * (2.0 / square * (step @ tangents[i]))
        second = tangents[i + 1] - t_mirrored
        square2 = second @ second
        u[i + 1] = u_mirrored if square2 < 1e-18 else u_mirrored - second * (2.0 / square2 * (second @ u_mirrored))
    u = unit(u - tangents * np.sum(u * tangents, axis=1, keepdims=True))
    return u, np.cross(tangents, u)
