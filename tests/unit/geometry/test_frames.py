"""Frames stay right-handed; carried frames do not spin."""

import numpy as np
import pytest

from tractwright.geometry.frames import carried_frames, frame_from_normal


def test_there_and_back():
    frame = frame_from_normal((1.0, 2.0, 3.0), (1.0, 1.0, 0.3), (0.0, 0.0, 1.0))
    points = np.random.default_rng(1).normal(size=(20, 3))
    np.testing.assert_allclose(frame.to_world(frame.to_local(points)), points, atol=1e-12)
    assert np.linalg.det(frame.matrix()) == pytest.approx(1.0)


def test_a_plane_bend_keeps_the_axis_square_to_its_plane():
    """On a plane curve the rotation-minimising axis that starts square to the plane stays there exactly."""
    angle = np.linspace(0.0, 2.0, 60)
    points = np.stack([np.zeros(60), np.sin(angle), 1 - np.cos(angle)], axis=1) * 80
    tangents = np.stack([np.zeros(60), np.cos(angle), np.sin(angle)], axis=1)
    u, v = carried_frames(points, tangents, np.array([1.0, 0.0, 0.0]))
    np.testing.assert_allclose(u, np.tile([1.0, 0.0, 0.0], (60, 1)), atol=1e-12)
    np.testing.assert_allclose(np.cross(u, v), tangents, atol=1e-12)


def test_a_helix_turns_back_by_its_torsion():
    """Against the exact angle of the rotation-minimising frame to the normal: minus the integral of torsion."""
    r, pitch = 50.0, 20.0
    t = np.linspace(0.0, 3.0, 400)
    speed = np.hypot(r, pitch)
    points = np.stack([r * np.cos(t), r * np.sin(t), pitch * t], axis=1)
    tangents = np.stack([-r * np.sin(t), r * np.cos(t), np.full_like(t, pitch)], axis=1) / speed
    normal = np.stack([-np.cos(t), -np.sin(t), np.zeros_like(t)], axis=1)
    u, _ = carried_frames(points, tangents, normal[0])
    binormal = np.cross(tangents, normal)
    turned = np.unwrap(np.arctan2(np.sum(u * binormal, axis=1), np.sum(u * normal, axis=1)))
    torsion = pitch / speed**2
    assert turned[-1] == pytest.approx(-torsion * speed * t[-1], rel=1e-4)
