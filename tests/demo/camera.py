"""Pinhole cameras in the aeroplane's axes: framing a subject, projecting, seeing or not seeing."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

Array = np.ndarray


@dataclass(frozen=True)
class Pose:
    """Where the aeroplane stands in the scene: metres = turn @ (mm / 1000) + lift."""

    turn: Array
    lift: Array

    def out(self, mm: Array) -> Array:
        """Aeroplane millimetres to scene metres."""
        return np.asarray(mm, float) @ self.turn.T / 1000 + self.lift

    def back(self, metres: Array) -> Array:
        """Scene metres to aeroplane millimetres."""
        return (np.asarray(metres, float) - self.lift) @ self.turn * 1000


@dataclass(frozen=True)
class Camera:
    """u = cx + f x/z, v = cy + f y/z with (x, y, z) = rotation @ (X - position), pixels down."""

    position: Array
    rotation: Array
    focal: float
    centre: tuple[float, float]
    size: tuple[int, int]

    def project(self, points: Array) -> Array:
        """Points (n, 3) in mm to (n, 3): u, v in pixels and depth in mm."""
        q = (np.atleast_2d(points) - self.position) @ self.rotation.T
        z = np.where(np.abs(q[:, 2]) < 1e-6, 1e-6, q[:, 2])
        u = self.centre[0] + self.focal * q[:, 0] / z
        v = self.centre[1] + self.focal * q[:, 1] / z
        return np.stack([u, v, q[:, 2]], 1)


def rotation(forward: Array, up: Array, roll_deg: float) -> Array:
    """Rows right, down, forward for a view direction."""
    f = forward / np.linalg.norm(forward)
    r = np.cross(f, up)
    r /= np.linalg.norm(r)
    down = np.cross(f, r)
    a = math.radians(roll_deg)
    r, down = math.cos(a) * r + math.sin(a) * down, math.cos(a) * down - math.sin(a) * r
    return np.stack([r, down, f])


def pose_for(state: str, lift: float) -> Pose:
    """Level on floats ``lift`` metres up, or tail-down on wheels on the ground."""
    if state != "works-1932":
        return Pose(np.eye(3), np.array([0.0, 0.0, lift]))
    a = math.atan2(2160 - 770, 7450 - 350)
    c, s = math.cos(a), math.sin(a)
    turn = np.array([[c, 0, s], [0, 1, 0], [-s, 0, c]])
    contact = turn @ np.array([350.0, 0, -2160.0])
    return Pose(turn, np.array([0.0, 0.0, -contact[2] / 1000]))


def framed(
    station: Array, subject: Array, size: tuple[int, int], margin: float, pose: Pose,
    roll: float = 0.0, shift: tuple[float, float] = (0.0, 0.0), level: bool = False,
    nudge: tuple[float, float] = (0.0, 0.0),
) -> Camera:  # fmt: skip
    """A camera at ``station`` (m) whose picture holds ``subject`` (n, 3 m) with a margin.

    ``margin`` is the part of the frame that the subject fills; ``shift`` moves the lens axis from
    the middle, in parts of the frame; ``level`` keeps the back upright and lets the front rise;
    ``nudge`` puts the subject off the middle, in parts of the frame.
    """
    w, h = size
    up = np.array([0.0, 0.0, 1.0])
    aim = subject.mean(axis=0)
    f, cx, cy = float(w), w * (0.5 + shift[0]), h * (0.5 + shift[1])
    for _ in range(12):
        fwd = aim - station
        if level:
            fwd = np.array([fwd[0], fwd[1], 0.0])
        r = rotation(fwd, up, roll)
        q = (subject - station) @ r.T
        x, y = q[:, 0] / q[:, 2], q[:, 1] / q[:, 2]
        f = margin * min(w / np.ptp(x), h / np.ptp(y))
        want = np.array([w * (0.5 + nudge[0]) - cx, h * (0.5 + nudge[1]) - cy]) / f
        mid = np.array([(x.max() + x.min()) / 2, (y.max() + y.min()) / 2])
        if level:
            cy = h * (0.5 + nudge[1]) - f * mid[1]
            want[1] = mid[1]
        depth = float(np.dot(aim - station, r[2]))
        off = mid - want
        aim = aim + (r[0] * off[0] + r[1] * off[1]) * depth
    f, cx, cy = round(f, 1), round(cx, 1), round(cy, 1)
    position = pose.back(station)
    return Camera(position, r @ pose.turn, f, (cx, cy), size)
