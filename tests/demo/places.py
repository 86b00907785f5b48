"""The settings: lake shore, slipway, works apron, hangar front, open water, dam, beach."""

from __future__ import annotations

import math

import bpy
import numpy as np

from camera import Pose
from paint import cloud
from shapes import lathe, loft, tube, vec
from stage import FINISHES, Finishes, add, sky, solid

BOX = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
HORIZON = (0.80, 0.86, 0.93)


class Site:
    """Builds scenery in local metres: +y lies beyond the aeroplane as the camera looks."""

    def __init__(self, finishes: Finishes, turn_deg: float, seed: int) -> None:
        a = math.radians(turn_deg)
        self.turn = np.array([[math.cos(a), -math.sin(a), 0], [math.sin(a), math.cos(a), 0], [0, 0, 1]])
        self.finishes, self.rng, self.seed = finishes, np.random.default_rng(seed), seed
        self.pose = Pose(self.turn, np.zeros(3))

    def put(self, name: str, finish: str, v: np.ndarray, faces: list, smooth: bool = False) -> bpy.types.Object:
        ob = solid(name, finish, np.asarray(v, float), faces, self.finishes, smooth)
        ob.matrix_world = _matrix(self.turn)
        return ob

    def box(self, finish: str, low: tuple, high: tuple, name: str = "box") -> None:
        v = [(x, y, z) for x in (low[0], high[0]) for y in (low[1], high[1]) for z in (low[2], high[2])]
        self.put(name, finish, np.array(v), BOX)

    def piece(self, p: object) -> None:
        """A piece from ``shapes`` given in local millimetres."""
        add(p, self.finishes, self.pose)

    def ground(self, finish: str, x0: float, x1: float, y0: float, y1: float, z: float = 0.0, rough: float = 0.0, n: int = 60) -> None:
        gx, gy = np.meshgrid(np.linspace(x0, x1, n), np.linspace(y0, y1, n))
        h = (cloud((n, n), (6, 6), self.seed + 31) - 0.5) * rough
        v = np.stack([gx.ravel(), gy.ravel(), (z + h).ravel()], 1)
        f = [(r * n + c, r * n + c + 1, (r + 1) * n + c + 1, (r + 1) * n + c) for r in range(n - 1) for c in range(n - 1)]
        self.put("ground", finish, v, f, smooth=True)

    def water(self, z: float, calm: float = 1.0) -> None:
        mat = bpy.data.materials.new("water")
        mat.use_nodes = True
        nt, b = mat.node_tree, mat.node_tree.nodes["Principled BSDF"]
        b.inputs["Base Color"].default_value = (0.03, 0.05, 0.055, 1)
        b.inputs["Roughness"].default_value = 0.06
        b.inputs["IOR"].default_value = 1.33
        co = nt.nodes.new("ShaderNodeTexCoord")
        first = None
        for scale, strength, dist, stretch in ((0.35, 0.5, 0.35, 1.8), (1.7, 0.45, 0.10, 1.4), (6.0, 0.3, 0.03, 1.2)):
            m = nt.nodes.new("ShaderNodeMapping")
            m.inputs["Scale"].default_value = (1, stretch, 1)
            nt.links.new(co.outputs["Object"], m.inputs[0])
            n = nt.nodes.new("ShaderNodeTexNoise")
            n.inputs["Scale"].default_value, n.inputs["Detail"].default_value = scale, 4
            nt.links.new(m.outputs[0], n.inputs["Vector"])
            u = nt.nodes.new("ShaderNodeBump")
            u.inputs["Strength"].default_value, u.inputs["Distance"].default_value = strength * calm, dist
            nt.links.new(n.outputs[0], u.inputs["Height"])
            if first is not None:
                nt.links.new(first.outputs["Normal"], u.inputs["Normal"])
            first = u
        nt.links.new(first.outputs["Normal"], b.inputs["Normal"])
        s = 6000.0
        ob = self.put("water", "black", [(-s, -s, z), (s, -s, z), (s, s, z), (-s, s, z)], [(0, 1, 2, 3)])
        ob.data.materials[0] = mat

    def mountains(self, shore: float, height: float, z: float, near: float = 0.0) -> None:
        """Fells around the lake, hazier with distance."""
        rows, cols = 60, 300
        r = shore * np.geomspace(1, 12, rows)
        a = np.linspace(-0.15 * math.pi, 1.15 * math.pi, cols)
        big = cloud((rows, cols), (4, 16), self.seed * 5 + 1, 7)
        ridge = 1 - np.abs(2 * cloud((rows, cols), (5, 24), self.seed * 5 + 2, 7) - 1)
        valley = 0.35 + 0.65 * np.abs(np.sin(a * 1.5 + self.seed))
        rise = np.clip(np.log(r / shore) / np.log(6), 0, 1)[:, None] ** 0.9
        h = height * rise * (0.35 + 0.75 * big) * valley[None, :] * (0.72 + 0.5 * ridge)
        wob = 1 + 0.45 * (cloud((1, cols), (1, 9), self.seed + 77)[0] - 0.5)
        x = (r[:, None] * wob) * np.cos(a)[None, :]
        y = (r[:, None] * wob) * np.sin(a)[None, :]
        v = np.stack([x.ravel(), y.ravel(), (z - 1.5 + h + 3 * (rise > 0)).ravel()], 1)
        f = [(i * cols + j, i * cols + j + 1, (i + 1) * cols + j + 1, (i + 1) * cols + j) for i in range(rows - 1) for j in range(cols - 1)]
        ob = self.put("fells", "fir", v, f, smooth=True)
        ob.data.materials[0] = fell_material(height, z)
        spots = []
        wood = cloud((rows, cols), (8, 40), self.seed * 5 + 3, 3)
        while len(spots) < 2200:
            i, j = int(self.rng.integers(1, 16)), int(self.rng.integers(0, cols))
            if self.rng.random() < np.exp(-i / 5) and wood[i, j] > 0.5:
                k = i * cols + j
                spots.append(v[k] + self.rng.normal(0, [9, 9, 0]))
        self.trees(np.array(spots), 6, 15)

    def trees(self, spots: np.ndarray, low: float, high: float) -> None:
        """Firs: three meshes, many stands."""
        stock = []
        for k in range(3):
            rng = np.random.default_rng(self.seed + k)
            v, f = [], []
            tiers, sides = 20, 15
            for t in range(tiers):
                zb, zt = 0.08 + 0.92 * t / tiers, min(1.05, 0.08 + 0.92 * (t + 2.6) / tiers)
                rad = 0.17 * (1 - t / tiers) ** 0.8 * (0.8 + 0.4 * rng.random()) + 0.012
                o = len(v)
                for q in range(sides):
                    b = 2 * math.pi * q / sides + t
                    e = rad * (0.45 + 0.85 * rng.random())
                    v.append((e * math.cos(b), e * math.sin(b), zb - 0.03 * rng.random()))
                v.append((0.01 * rng.normal(), 0.01 * rng.normal(), zt))
                f += [(o + q, o + (q + 1) % sides, o + sides) for q in range(sides)]
            mesh = bpy.data.meshes.new("fir")
            mesh.from_pydata(v, [], f)
            mesh.materials.append(hazy("fir", FINISHES["fir"][0], 0.95))
            stock.append(mesh)
        for s in spots:
            ob = bpy.data.objects.new("fir", stock[int(self.rng.integers(3))])
            w = self.turn @ np.asarray(s, float)
            size = low + (high - low) * self.rng.random()
            ob.location = w.tolist()
            ob.scale = (size, size, size)
            ob.rotation_euler = (0, 0, self.rng.random() * 6)
            bpy.context.scene.collection.objects.link(ob)

    def shed(self, finish: str, x0: float, x1: float, y0: float, y1: float, eaves: float, ridge: float, doors: tuple[float, float] | None, roof: str = "dark-tin") -> None:
        """A gabled building, its front at y0; ``doors`` are the x limits of an opening."""
        xm = (x0 + x1) / 2
        gable = [(x0, 0), (x1, 0), (x1, eaves), (xm, ridge), (x0, eaves)]
        if doors is None:
            self.put("front", finish, [(x, y0, z) for x, z in gable], [(0, 1, 2, 3, 4)])
        else:
            a, b = doors
            top = eaves * 0.86
            v = [(x0, y0, 0), (a, y0, 0), (a, y0, top), (b, y0, top), (b, y0, 0), (x1, y0, 0), (x1, y0, eaves), (xm, y0, ridge), (x0, y0, eaves)]
            self.put("front", finish, v, [(0, 1, 2, 8), (2, 3, 6, 7, 8), (3, 4, 5, 6)])
            leaf = (b - a) / 4
            for k, x in enumerate((a - leaf * 0.9, b - leaf * 0.1, a + leaf * 0.02, b - leaf)):
                y = y0 - 0.18 - 0.12 * (k // 2)
                self.box("tin" if finish != "tin" else "planks", (x, y - 0.06, 0.05), (x + leaf * 0.98, y, top))
                for r in range(2):
                    for c in range(3):
                        w = leaf * 0.98 / 3
                        self.box("window", (x + c * w + 0.12, y - 0.075, top * (0.55 + 0.2 * r)), (x + (c + 1) * w - 0.12, y - 0.05, top * (0.55 + 0.2 * r) + top * 0.17))
            self.box("dark-tin", (a - leaf, y0 - 0.5, top), (b + leaf, y0 - 0.05, top + 0.28))
            self.box("floor", (x0 + 0.3, y0, 0.0), (x1 - 0.3, y1, 0.02))
        self.put("sides", finish, [(x0, y0, 0), (x0, y1, 0), (x0, y1, eaves), (x0, y0, eaves), (x1, y0, 0), (x1, y1, 0), (x1, y1, eaves), (x1, y0, eaves)], [(0, 1, 2, 3), (4, 5, 6, 7)])
        self.put("back", finish, [(x, y1, z) for x, z in gable], [(0, 1, 2, 3, 4)])
        o = 0.5
        self.put("roof", roof, [(x0 - o, y0 - o, eaves - 0.2), (xm, y0 - o, ridge + 0.1), (x1 + o, y0 - o, eaves - 0.2), (x0 - o, y1 + o, eaves - 0.2), (xm, y1 + o, ridge + 0.1), (x1 + o, y1 + o, eaves - 0.2)], [(0, 1, 4, 3), (1, 2, 5, 4)])

    def windows(self, x0: float, x1: float, y: float, z0: float, z1: float, count: int) -> None:
        """A row of many-paned windows on a front."""
        w = (x1 - x0) / count
        for k in range(count):
            a, b = x0 + k * w + w * 0.12, x0 + (k + 1) * w - w * 0.12
            self.box("window", (a, y - 0.03, z0), (b, y + 0.02, z1))
            for i in range(5):
                x = a + (b - a) * i / 4
                self.box("white", (x - 0.03, y - 0.06, z0), (x + 0.03, y, z1))
            for i in range(5):
                z = z0 + (z1 - z0) * i / 4
                self.box("white", (a, y - 0.06, z - 0.03), (b, y, z + 0.03))
            self.box("stone", (a - 0.1, y - 0.12, z0 - 0.18), (b + 0.1, y, z0))

    def drum(self, x: float, y: float, finish: str = "rusty") -> None:
        p = [(0, 0.1), (0, 290), (20, 300), (290, 290), (300, 305), (310, 290), (580, 290), (590, 305), (600, 290), (860, 290), (880, 300), (880, 270), (865, 265), (865, 0.1)]
        self.piece(lathe("drum", finish, p, vec(x * 1000, y * 1000, 0), "z", 28))

    def boat(self, x: float, y: float, z: float, turn: float, length: float = 4.2) -> None:
        """A clinker dinghy."""
        rings = []
        for t in np.linspace(0, 1, 16):
            b = 0.78 * math.sin(math.pi * min(1, t * 1.15 + 0.02) ** 0.8 * 0.95) if t < 0.99 else 0.35
            b = max(b, 0.02) if t < 0.9 else 0.5
            sheer = 0.62 + 0.25 * (2 * (t - 0.55)) ** 2
            q = np.linspace(-1, 1, 11)
            rings.append(np.stack([np.full(11, (t - 0.5) * length), b * q, sheer * np.abs(q) ** 2.2], 1))
        r = np.stack(rings)
        c, s = math.cos(turn), math.sin(turn)
        r = np.stack([r[..., 0] * c - r[..., 1] * s + x, r[..., 0] * s + r[..., 1] * c + y, r[..., 2] + z], 2) * 1000
        self.piece(loft("boat", "planks", r, False, False))
        for m in (0, 10):
            for a, b in zip(r[:-1, m], r[1:, m], strict=True):
                self.piece(tube("boat", "timber", a, b, 28, 6))
        for k in (4, 8, 12):
            self.piece(tube("boat", "planks", r[k, 1], r[k, 9], 60, 4))

    def jetty(self, x: float, y0: float, y1: float, deck: float, water: float) -> None:
        self.box("planks", (x - 1.1, y0, deck - 0.1), (x + 1.1, y1, deck))
        for y in np.arange(y0 + 1, y1, 3.0):
            for s in (-1.05, 1.05):
                self.piece(tube("pile", "old-timber", vec((x + s) * 1000, y * 1000, (water - 1) * 1000), vec((x + s) * 1000, y * 1000, (deck + 0.7) * 1000), 120, 10))

    def trolley(self, lift: float) -> None:
        """Timber chocks and a wheeled beaching frame under both floats (aeroplane axes)."""
        pose = Pose(np.eye(3), np.zeros(3))
        from dimensions import FLOAT_TRACK, keel_z
        for y in (-FLOAT_TRACK / 2, FLOAT_TRACK / 2):
            for x in (600.0, 2150.0):
                top = keel_z(x) + lift * 1000 - 12
                for o in (-1, 1):
                    p = vec(x - 110, y + o * 260 - 90, top - 120)
                    add(_block(p, p + vec(220, 180, 190), "old-timber"), self.finishes, pose)
                add(_block(vec(x - 130, y - 560, top - 260), vec(x + 130, y + 560, top - 100), "old-timber"), self.finishes, pose)
                for o in (-620, 620):
                    t = np.linspace(0, 2 * math.pi, 14, endpoint=False)
                    tyre = [(y + o + 60 * math.cos(a), 150 + 40 * math.sin(a)) for a in t]
                    add(lathe("trolley", "rubber", tyre, vec(x, 0, 190), "y", 28, closed=True), self.finishes, pose)
                    add(lathe("trolley", "rusty", [(y + o - 50, 30), (y + o - 50, 130), (y + o + 50, 130), (y + o + 50, 30)], vec(x, 0, 190), "y", 24), self.finishes, pose)
                add(tube("trolley", "rusty", vec(x, y - 620, 190), vec(x, y + 620, 190), 30), self.finishes, pose)


def _block(a: np.ndarray, b: np.ndarray, finish: str) -> object:
    from shapes import box
    return box("chock", finish, tuple(a), tuple(b))


def _matrix(turn: np.ndarray) -> object:
    from mathutils import Matrix
    m = np.eye(4)
    m[:3, :3] = turn
    return Matrix(m.tolist())


def hazed(nt: object, surface: object, reach: float = 5200.0) -> None:
    """Mix a surface with the colour of the air, by distance from the camera."""
    out = nt.nodes["Material Output"]
    cam = nt.nodes.new("ShaderNodeCameraData")
    m = nt.nodes.new("ShaderNodeMath")
    m.operation = "DIVIDE"
    m.inputs[1].default_value = -reach
    nt.links.new(cam.outputs["View Distance"], m.inputs[0])
    e = nt.nodes.new("ShaderNodeMath")
    e.operation = "EXPONENT"
    nt.links.new(m.outputs[0], e.inputs[0])
    air = nt.nodes.new("ShaderNodeEmission")
    air.inputs["Color"].default_value = (*[c * 0.86 for c in HORIZON], 1)
    mix = nt.nodes.new("ShaderNodeMixShader")
    nt.links.new(e.outputs[0], mix.inputs[0])
    nt.links.new(air.outputs[0], mix.inputs[1])
    nt.links.new(surface, mix.inputs[2])
    nt.links.new(mix.outputs[0], out.inputs["Surface"])


def hazy(name: str, colour: tuple, rough: float) -> bpy.types.Material:
    mat = bpy.data.materials.new(name)
    mat.use_nodes = True
    b = mat.node_tree.nodes["Principled BSDF"]
    b.inputs["Base Color"].default_value = (*colour, 1)
    b.inputs["Roughness"].default_value = rough
    b.inputs["Specular IOR Level"].default_value = 0.1
    hazed(mat.node_tree, b.outputs[0])
    return mat


def fell_material(height: float, z: float) -> bpy.types.Material:
    """Fir wood low down, heather and rock above, old snow in the gullies."""
    mat = hazy("fell", (0.1, 0.1, 0.1), 0.95)
    nt = mat.node_tree
    b = nt.nodes["Principled BSDF"]
    geo = nt.nodes.new("ShaderNodeNewGeometry")
    sep = nt.nodes.new("ShaderNodeSeparateXYZ")
    nt.links.new(geo.outputs["Position"], sep.inputs[0])
    noise = nt.nodes.new("ShaderNodeTexNoise")
    noise.inputs["Scale"].default_value, noise.inputs["Detail"].default_value = 0.012, 10
    noise.inputs["Roughness"].default_value = 0.68
    nt.links.new(geo.outputs["Position"], noise.inputs["Vector"])
    level = nt.nodes.new("ShaderNodeMapRange")
    level.inputs["From Min"].default_value, level.inputs["From Max"].default_value = z, z + height * 0.9
    nt.links.new(sep.outputs["Z"], level.inputs["Value"])
    lift = nt.nodes.new("ShaderNodeMath")
    lift.operation = "MULTIPLY_ADD"
    lift.inputs[1].default_value, lift.inputs[2].default_value = 0.9, -0.45
    nt.links.new(noise.outputs[0], lift.inputs[0])
    both = nt.nodes.new("ShaderNodeMath")
    nt.links.new(level.outputs[0], both.inputs[0])
    nt.links.new(lift.outputs[0], both.inputs[1])
    ramp = nt.nodes.new("ShaderNodeValToRGB")
    e = ramp.color_ramp.elements
    e[0].position, e[0].color = 0.10, (0.028, 0.05, 0.024, 1)
    e[1].position, e[1].color = 0.95, (0.55, 0.57, 0.6, 1)
    for p, c in ((0.28, (0.075, 0.09, 0.035, 1)), (0.48, (0.13, 0.12, 0.08, 1)), (0.70, (0.17, 0.165, 0.16, 1))):
        n = e.new(p)
        n.color = c
    nt.links.new(both.outputs[0], ramp.inputs["Fac"])
    nt.links.new(ramp.outputs["Color"], b.inputs["Base Color"])
    bump = nt.nodes.new("ShaderNodeBump")
    bump.inputs["Strength"].default_value, bump.inputs["Distance"].default_value = 0.9, 22
    nt.links.new(noise.outputs[0], bump.inputs["Height"])
    nt.links.new(bump.outputs["Normal"], b.inputs["Normal"])
    return mat


def lakeside_sky(seed: int, cloudiness: float = 0.5) -> None:
    sky(HORIZON, (0.20, 0.36, 0.72), 0.75, cloudiness, seed * 1.37)


def slipway(s: Site, lift: float) -> None:
    lakeside_sky(s.seed, 0.55)
    s.ground("concrete", -70, 70, -60, 10, 0.0, 0.03)
    s.box("stone", (-70, 10, -4), (5, 10.7, 0.12))
    s.box("stone", (15, 10, -4), (70, 10.7, 0.12))
    s.put("slip", "concrete", [(5, 10, 0), (15, 10, 0), (15, 32, -3.2), (5, 32, -3.2)], [(0, 1, 2, 3)])
    s.water(-1.0, 1.0)
    s.mountains(330, 420, -1.0)
    s.jetty(-13, 10, 36, 0.15, -1.0)
    s.boat(-8.8, 15, -1.15, 0.5)
    s.boat(19, 20, -1.15, 2.3, 5.5)
    s.shed("planks", 23, 37, 2, 20, 5.2, 8.4, (27, 33))
    s.drum(21.2, 4.6)
    s.drum(21.9, 5.1, "dark-tin")
    s.drum(-16.5, 8.6)
    for x in (-11.8, -20, 3.5):
        s.piece(lathe("bollard", "steel", [(0, 160), (60, 130), (300, 110), (330, 190), (420, 170), (440, 0.1)], vec(x * 1000, 9300, 0), "z", 20))
    s.trolley(lift)


def apron(s: Site, lift: float) -> None:
    lakeside_sky(s.seed, 0.7)
    s.ground("concrete", -90, 90, -60, 17, 0.0, 0.03)
    s.ground("grass", -400, 400, 16.9, 420, -0.05, 0.5)
    s.shed("brick", -30, -4, 19, 55, 7.4, 11.6, (-25, -9), "dark-tin")
    s.shed("brick", -3, 23, 19, 55, 7.4, 11.6, (4, 17), "dark-tin")
    s.shed("brick", 25, 45, 23, 45, 5.0, 8.0, None)
    s.windows(26, 44, 22.9, 1.4, 3.8, 4)
    s.piece(lathe("chimney", "brick", [(0, 1500), (24000, 950), (24500, 1150), (25500, 1150)], vec(52000, 60000, 0), "z", 24))
    s.mountains(900, 330, 0)
    s.drum(9.5, 15.5)
    s.drum(10.3, 15.9, "tin")
    s.box("old-timber", (-13, 14.0, 0), (-11, 14.8, 0.9))
    s.box("planks", (-15.4, 14.3, 0), (-14.0, 15.4, 1.1))
    for x in (-1.2, 1.2):
        s.box("old-timber", (x - 0.2, 15.6, 0), (x + 0.2, 16.0, 1.5))


def hangar(s: Site, lift: float) -> None:
    lakeside_sky(s.seed, 0.35)
    s.ground("concrete", -60, 60, -50, 13, 0.0, 0.03)
    s.ground("grass", -300, 300, 12.9, 300, -0.03, 0.8)
    s.shed("tin", -20, 16, 13, 45, 7.6, 11.2, (-14, 10))
    s.shed("planks", 20, 29, 17, 27, 3.4, 5.6, None)
    s.windows(21, 28, 16.9, 1.2, 2.4, 2)
    s.mountains(420, 520, 0)
    s.trees(np.column_stack([s.rng.uniform(28, 90, 60), s.rng.uniform(30, 90, 60), np.zeros(60)]), 8, 16)
    s.trees(np.column_stack([s.rng.uniform(-90, -26, 50), s.rng.uniform(30, 90, 50), np.zeros(50)]), 8, 16)
    for x, y in ((-17.5, 11.5), (-16.7, 11.9), (13.5, 11.8)):
        s.drum(x, y)
    s.box("old-timber", (14.6, 11.2, 0), (16.6, 12.2, 0.8))
    s.trolley(lift)


def water(s: Site, lift: float) -> None:
    lakeside_sky(s.seed, 0.5)
    s.water(0.0, 0.8)
    s.mountains(1300, 420, 0.0)
    s.piece(lathe("buoy", "red", [(-300, 0.1), (-250, 320), (100, 380), (260, 300), (330, 0.1)], vec(-8800, 400, 0), "z", 24))


def dam(s: Site, lift: float) -> None:
    lakeside_sky(s.seed, 0.4)
    s.water(0.0, 0.9)
    s.mountains(150, 420, 0.0)
    s.box("stone", (-80, -20.0, -5), (60, -15.2, 9.2))
    s.box("stone", (-80, -15.6, 9.2), (60, -15.0, 10.1))
    s.boat(7.5, -4.0, -0.12, 0.4)
    s.boat(-6.0, 22.0, -0.12, 2.0, 5.0)


def shingle(s: Site, lift: float) -> None:
    lakeside_sky(s.seed, 0.6)
    s.ground("shingle", -60, 60, -40, 26, 0.0, 0.25, 120)
    s.ground("grass", -200, 200, 22, 120, 0.2, 2.5)
    s.trees(np.column_stack([s.rng.uniform(-70, 90, 150), s.rng.uniform(30, 95, 150), np.zeros(150)]), 7, 17)
    s.water(-0.25)
    s.mountains(330, 460, 0)
    n = 700
    for _ in range(n):
        x, y = s.rng.uniform(-24, 24), s.rng.uniform(-11, 16)
        r = s.rng.gamma(2.0, 45) + 20
        s.piece(lathe("pebble", "stone", [(-r * 0.4, 0.1), (-r * 0.3, r * 0.7), (0, r), (r * 0.35, r * 0.7), (r * 0.5, 0.1)], vec(x * 1000, y * 1000, 0), "z", 9))
    s.boat(9.5, 9.0, 0.0, 0.9)


PLACES = {"slipway": slipway, "apron": apron, "hangar": hangar, "water": water, "dam": dam, "shingle": shingle}
