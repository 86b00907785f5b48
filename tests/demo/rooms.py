"""Where the finds were photographed: the workshop, a bench, the lake shore in daylight."""

from __future__ import annotations

import math

import bpy
import numpy as np

import places
import stage
from camera import Pose
from shapes import Piece, lathe, tube, vec


def lamp(site: places.Site, at: tuple, to: tuple, size: float, power: float, colour: tuple = (1, 0.97, 0.92)) -> None:
    """A large soft light at a local place, aimed."""
    data = bpy.data.lights.new("lamp", "AREA")
    data.size, data.energy, data.color = size, power, colour
    ob = bpy.data.objects.new("lamp", data)
    p, q = site.turn @ np.array(at, float), site.turn @ np.array(to, float)
    from mathutils import Vector
    ob.location = p.tolist()
    ob.rotation_euler = Vector((q - p).tolist()).to_track_quat("-Z", "Y").to_euler()
    bpy.context.scene.collection.objects.link(ob)


def plain_sky(strength: float) -> None:
    world = bpy.data.worlds.new("room")
    bpy.context.scene.world = world
    world.use_nodes = True
    bg = world.node_tree.nodes["Background"]
    bg.inputs["Color"].default_value = (0.92, 0.96, 1.0, 1)
    bg.inputs["Strength"].default_value = strength


def centre_of(pieces: list[Piece], pose: Pose) -> np.ndarray:
    v = pose.out(np.concatenate([p.vertices for p in pieces]))
    return (v.max(axis=0) + v.min(axis=0)) / 2


def workshop(finishes: stage.Finishes, turn: float, pieces: list[Piece], pose: Pose) -> None:
    """A bright workshop with white walls, tall windows, benches and racks."""
    s = places.Site(finishes, turn, 4)
    c = s.turn.T @ centre_of(pieces, pose)
    cx, cy = float(c[0]), float(c[1])
    plain_sky(0.55)
    s.ground("floor", cx - 16, cx + 16, cy - 14, cy + 8, 0.0, 0.0, 4)
    yw = cy + 6.2
    s.box("wall", (cx - 16, yw, 0), (cx + 16, yw + 0.2, 1.5), "wall")
    s.box("wall", (cx - 16, yw, 3.9), (cx + 16, yw + 0.2, 6.5), "wall")
    for k in range(-5, 6):
        x = cx + k * 3.2
        s.box("wall", (x - 0.55, yw, 1.5), (x + 0.55, yw + 0.2, 3.9))
        for i in range(1, 4):
            xx = x + 0.55 + i * 0.525
            s.box("white", (xx - 0.025, yw + 0.08, 1.5), (xx + 0.025, yw + 0.14, 3.9))
        for z in (1.5, 2.1, 2.7, 3.3, 3.88):
            s.box("white", (x + 0.55, yw + 0.08, z - 0.025), (x + 2.65, yw + 0.14, z + 0.025))
        s.box("white", (x + 0.5, yw - 0.12, 1.44), (x + 2.7, yw, 1.5))
    s.box("white", (cx - 30, yw + 3, -0.2), (cx + 30, yw + 3.1, 1.9))
    for x0, x1 in ((-9, -4.2), (-2.6, 2.4), (4.2, 8.6)):
        s.box("bench", (cx + x0, yw - 0.95, 0.84), (cx + x1, yw - 0.1, 0.92))
        for x in (x0 + 0.1, x1 - 0.2):
            s.box("bench", (cx + x, yw - 0.9, 0), (cx + x + 0.1, yw - 0.8, 0.84))
        s.box("planks", (cx + x0 + 0.2, yw - 0.8, 0.25), (cx + x1 - 0.2, yw - 0.15, 0.3))
        for _ in range(9):
            x, h = cx + s.rng.uniform(x0 + 0.3, x1 - 0.5), s.rng.uniform(0.08, 0.4)
            s.box(str(s.rng.choice(["tin", "white", "red", "dark-tin", "cloth", "card"])), (x, yw - 0.6, 0.92), (x + s.rng.uniform(0.12, 0.4), yw - 0.3, 0.92 + h))
    for x in (-11.0, 10.2):
        for z in (0.3, 0.95, 1.6, 2.25):
            s.box("bench", (cx + x, yw - 0.7, z), (cx + x + 1.7, yw - 0.1, z + 0.04))
            for _ in range(4):
                q = cx + x + s.rng.uniform(0.05, 1.3)
                s.box(str(s.rng.choice(["card", "tin", "cloth", "old-timber"])), (q, yw - 0.6, z + 0.04), (q + 0.3, yw - 0.2, z + s.rng.uniform(0.15, 0.5)))
    s.piece(lathe("bin", "red", [(0, 220), (600, 250), (600, 230), (20, 200), (20, 0.1)], vec((cx + 3.2) * 1000, (yw - 0.6) * 1000, 0), "z", 28))
    s.piece(tube("pipe", "white", vec((cx - 16) * 1000, (yw - 0.1) * 1000, 4300), vec((cx + 16) * 1000, (yw - 0.1) * 1000, 4300), 60))
    lamp(s, (cx - 3.5, cy - 3.5, 5.8), (cx, cy, 1), 3.5, 620)
    lamp(s, (cx + 5, cy - 1, 5.8), (cx, cy, 1), 3.0, 330)
    lamp(s, (cx, yw - 0.3, 4.4), (cx, cy - 2, 0.2), 4.5, 260, (0.85, 0.93, 1.0))


def bench(finishes: stage.Finishes, turn: float, pieces: list[Piece], pose: Pose) -> None:
    """A bench top covered with grey cloth, window light from the left."""
    s = places.Site(finishes, turn, 4)
    c = s.turn.T @ centre_of(pieces, pose)
    cx, cy = float(c[0]), float(c[1])
    plain_sky(0.5)
    s.ground("bench", cx - 3, cx + 3, cy - 2.2, cy + 1.9, -0.004, 0.0, 4)
    lo = pose.out(np.concatenate([p.vertices for p in pieces])) @ s.turn
    m = 0.16 * float(np.max(np.ptp(lo[:, :2], axis=0)))
    s.ground("cloth", lo[:, 0].min() - m, lo[:, 0].max() + m, lo[:, 1].min() - m, lo[:, 1].max() + m, -0.001, 0.001, 40)
    s.box("wall", (cx - 5, cy + 1.9, -1), (cx + 5, cy + 2.0, 3))
    r = max(1.2, float(np.max(np.ptp(lo[:, :2], axis=0))))
    lamp(s, (cx - 1.6 * r, cy + 0.5 * r, 1.5 * r), (cx, cy, 0), 1.1 * r, 70 * r * r, (0.93, 0.97, 1.0))
    lamp(s, (cx + 1.2 * r, cy - 1.2 * r, 2.0 * r), (cx, cy, 0), 0.8 * r, 22 * r * r)


def shore(finishes: stage.Finishes, turn: float, pieces: list[Piece], pose: Pose) -> None:
    """The lake shore on a bright day in the year it was raised."""
    s = places.Site(finishes, turn, 6)
    places.sky(places.HORIZON, (0.17, 0.34, 0.75), 0.8, 0.5, 4.1)
    s.ground("shingle", -40, 40, -30, 12, -0.02, 0.10, 90)
    c = s.turn.T @ centre_of(pieces, pose)
    for _ in range(520):
        x, y = c[0] + s.rng.uniform(-9, 9), c[1] + s.rng.uniform(-6, 7)
        r = s.rng.gamma(2.0, 26) + 14
        s.piece(lathe("pebble", "stone", [(-r * 0.4, 0.1), (-r * 0.3, r * 0.7), (0, r), (r * 0.35, r * 0.7), (r * 0.5, 0.1)], vec(x * 1000, y * 1000, 0), "z", 9))
    s.water(-0.12, 0.8)
    s.mountains(330, 430, -0.1)
    stage.sun(turn + 90 + 180 - 42, 44, 3.4)
    _ = math


ROOMS = {"workshop": workshop, "bench": bench, "shore": shore}
