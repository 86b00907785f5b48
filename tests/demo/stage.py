"""Finishes, light, sky and the camera in the renderer (Blender's Cycles, as a Python module)."""

from __future__ import annotations

import math
from pathlib import Path

import bpy
import numpy as np
from mathutils import Matrix

from camera import Camera, Pose
from shapes import Piece

# finish: base colour (linear), metallic, roughness, size and depth of its unevenness
FINISHES: dict[str, tuple[tuple[float, float, float], float, float, float, float]] = {
    "blue": ((0.065, 0.16, 0.49), 0.0, 0.38, 6, 0.05),
    "dope": ((0.50, 0.51, 0.53), 0.25, 0.42, 8, 0.06),
    "strut": ((0.45, 0.46, 0.48), 0.35, 0.42, 12, 0.05),
    "float": ((0.50, 0.52, 0.54), 0.55, 0.40, 3, 0.25),
    "bare": ((0.62, 0.63, 0.64), 0.85, 0.32, 8, 0.1),
    "metal": ((0.42, 0.43, 0.45), 0.8, 0.38, 12, 0.1),
    "steel": ((0.22, 0.23, 0.25), 0.7, 0.42, 14, 0.15),
    "engine": ((0.30, 0.30, 0.31), 0.7, 0.42, 14, 0.2),
    "cylinder": ((0.035, 0.035, 0.037), 0.3, 0.45, 14, 0.1),
    "cowl": ((0.58, 0.59, 0.60), 0.9, 0.27, 5, 0.12),
    "cowl-dark": ((0.02, 0.025, 0.05), 0.0, 0.3, 5, 0.08),
    "rusty": ((0.10, 0.055, 0.04), 0.5, 0.6, 20, 0.3),
    "rusted-tube": ((0.17, 0.085, 0.05), 0.15, 0.75, 30, 0.5),
    "holed": ((0.42, 0.43, 0.42), 0.55, 0.5, 9, 0.6),
    "corroded": ((0.40, 0.41, 0.40), 0.55, 0.55, 14, 0.6),
    "timber": ((0.23, 0.10, 0.04), 0.0, 0.25, 4, 0.1),
    "old-timber": ((0.22, 0.16, 0.10), 0.0, 0.8, 10, 0.4),
    "planks": ((0.20, 0.17, 0.14), 0.0, 0.85, 3, 0.5),
    "rubber": ((0.02, 0.02, 0.02), 0.0, 0.7, 20, 0.1),
    "leather": ((0.09, 0.035, 0.018), 0.0, 0.5, 30, 0.3),
    "panel": ((0.03, 0.03, 0.03), 0.0, 0.5, 10, 0.0),
    "dial": ((0.7, 0.7, 0.66), 0.0, 0.3, 10, 0.0),
    "dark": ((0.01, 0.01, 0.01), 0.0, 0.8, 10, 0.0),
    "lens": ((0.005, 0.006, 0.012), 0.0, 0.03, 1, 0.0),
    "wire": ((0.30, 0.31, 0.32), 0.8, 0.35, 1, 0.0),
    "rudder": ((0.60, 0.045, 0.038), 0.0, 0.4, 6, 0.05),
    "fin": ((0.065, 0.16, 0.49), 0.0, 0.38, 6, 0.05),
    "water-rudder": ((0.46, 0.47, 0.49), 0.6, 0.42, 8, 0.2),
    "concrete": ((0.30, 0.29, 0.27), 0.0, 0.85, 1.2, 0.5),
    "brick": ((0.25, 0.10, 0.065), 0.0, 0.85, 2, 0.6),
    "tin": ((0.26, 0.28, 0.28), 0.3, 0.6, 1, 0.4),
    "dark-tin": ((0.10, 0.12, 0.11), 0.2, 0.6, 1, 0.4),
    "window": ((0.02, 0.025, 0.03), 0.0, 0.08, 1, 0.0),
    "white": ((0.75, 0.75, 0.73), 0.0, 0.6, 3, 0.1),
    "card": ((0.80, 0.76, 0.66), 0.0, 0.8, 6, 0.05),
    "black": ((0.012, 0.012, 0.012), 0.0, 0.6, 3, 0.0),
    "red": ((0.55, 0.04, 0.03), 0.0, 0.5, 3, 0.1),
    "shingle": ((0.30, 0.27, 0.225), 0.0, 0.9, 9, 1.0),
    "grass": ((0.10, 0.14, 0.04), 0.0, 0.95, 0.6, 1.0),
    "stone": ((0.24, 0.23, 0.21), 0.0, 0.9, 1.5, 0.8),
    "fir": ((0.022, 0.042, 0.02), 0.0, 0.95, 3, 0.5),
    "wall": ((0.72, 0.71, 0.67), 0.0, 0.85, 2, 0.05),
    "floor": ((0.27, 0.25, 0.23), 0.0, 0.55, 1.5, 0.3),
    "bench": ((0.36, 0.24, 0.13), 0.0, 0.6, 2, 0.3),
    "cloth": ((0.35, 0.37, 0.36), 0.0, 0.95, 5, 0.4),
}  # fmt: skip


def clear() -> None:
    """An empty scene."""
    bpy.ops.wm.read_factory_settings(use_empty=True)


class Finishes:
    """Materials by finish name, made when first asked for."""

    def __init__(self, paint: Path | None, haze: float = 0.0) -> None:
        self.paint, self.haze, self.made = paint, haze, {}

    def __getitem__(self, name: str) -> bpy.types.Material:
        if name not in self.made:
            self.made[name] = self.make(name)
        return self.made[name]

    def make(self, name: str) -> bpy.types.Material:
        mat = bpy.data.materials.new(name)
        mat.use_nodes = True
        nt = mat.node_tree
        bsdf = nt.nodes["Principled BSDF"]
        if name == "glass":
            bsdf.inputs["Base Color"].default_value = (0.9, 0.95, 0.95, 1)
            bsdf.inputs["Roughness"].default_value = 0.03
            bsdf.inputs["Alpha"].default_value = 0.22
            return mat
        image = self.paint / f"{name}.png" if self.paint else None
        if image and image.exists():
            node = nt.nodes.new("ShaderNodeTexImage")
            node.image = bpy.data.images.load(str(image))
            nt.links.new(node.outputs["Color"], bsdf.inputs["Base Color"])
            bsdf.inputs["Roughness"].default_value = 0.34 if name == "skin" else 0.42
            bsdf.inputs["Metallic"].default_value = 0.0 if name == "skin" else 0.18
            if name == "skin":
                rough = nt.nodes.new("ShaderNodeTexImage")
                rough.image = bpy.data.images.load(str(self.paint / "skin-height.png"))
                rough.image.colorspace_settings.name = "Non-Color"
                bump = nt.nodes.new("ShaderNodeBump")
                bump.inputs["Distance"].default_value = 0.02
                bump.inputs["Strength"].default_value = 0.55
                nt.links.new(rough.outputs["Color"], bump.inputs["Height"])
                nt.links.new(bump.outputs["Normal"], bsdf.inputs["Normal"])
            return mat
        colour, metallic, rough, scale, depth = FINISHES[name]
        bsdf.inputs["Metallic"].default_value = metallic
        where = nt.nodes.new("ShaderNodeTexCoord")
        noise = nt.nodes.new("ShaderNodeTexNoise")
        noise.inputs["Scale"].default_value = scale
        noise.inputs["Detail"].default_value = 7
        nt.links.new(where.outputs["Object"], noise.inputs["Vector"])
        mix = nt.nodes.new("ShaderNodeMix")
        mix.data_type = "RGBA"
        spread = 0.25 + depth * 0.6
        second = tuple(c * (1 - 0.75 * spread) for c in colour)
        if name in ("rusted-tube", "corroded", "holed"):
            second = (0.30, 0.31, 0.28) if name == "rusted-tube" else (0.16, 0.13, 0.10)
        if name == "grass":
            second = (0.16, 0.15, 0.06)
        mix.inputs[6].default_value = (*colour, 1)
        mix.inputs[7].default_value = (*second, 1)
        ramp = nt.nodes.new("ShaderNodeValToRGB")
        ramp.color_ramp.elements[0].position = 0.38
        ramp.color_ramp.elements[1].position = 0.72
        nt.links.new(noise.outputs[0], ramp.inputs["Fac"])
        nt.links.new(ramp.outputs["Color"], mix.inputs[0])
        top = mix.outputs[2]
        if name in ("brick", "concrete", "stone", "planks", "floor", "wall", "tin", "dark-tin"):
            top = courses(nt, where, top, name)
        if name == "holed":
            holes(nt, where, bsdf)
        nt.links.new(top, bsdf.inputs["Base Color"])
        rr = nt.nodes.new("ShaderNodeMapRange")
        rr.inputs["To Min"].default_value = max(0.05, rough - 0.12)
        rr.inputs["To Max"].default_value = min(1, rough + 0.12)
        nt.links.new(noise.outputs[0], rr.inputs["Value"])
        nt.links.new(rr.outputs[0], bsdf.inputs["Roughness"])
        if depth:
            bump = nt.nodes.new("ShaderNodeBump")
            bump.inputs["Strength"].default_value = min(1, depth * 1.2)
            bump.inputs["Distance"].default_value = 0.01 if name not in ("grass", "shingle") else 0.06
            nt.links.new(noise.outputs[0], bump.inputs["Height"])
            nt.links.new(bump.outputs["Normal"], bsdf.inputs["Normal"])
        return mat


def holes(nt: bpy.types.NodeTree, where: bpy.types.Node, bsdf: bpy.types.Node) -> None:
    """Eaten through: the sheet is absent where a noise is high."""
    noise = nt.nodes.new("ShaderNodeTexNoise")
    noise.inputs["Scale"].default_value, noise.inputs["Detail"].default_value = 4.5, 5
    noise.inputs["Roughness"].default_value = 0.62
    nt.links.new(where.outputs["Object"], noise.inputs["Vector"])
    gone = nt.nodes.new("ShaderNodeMath")
    gone.operation, gone.inputs[1].default_value = "LESS_THAN", 0.61
    nt.links.new(noise.outputs[0], gone.inputs[0])
    nt.links.new(gone.outputs[0], bsdf.inputs["Alpha"])


def courses(nt: bpy.types.NodeTree, where: bpy.types.Node, colour: object, name: str) -> object:
    """Slabs, bricks, boards or corrugations laid over a colour."""
    w, h, gap = {"brick": (0.45, 0.15, 0.012), "concrete": (7.0, 4.5, 0.02), "stone": (1.4, 0.6, 0.03),
                 "planks": (9.0, 0.22, 0.012), "floor": (3.0, 3.0, 0.01), "wall": (0.46, 0.15, 0.008),
                 "tin": (50.0, 0.10, 0.022), "dark-tin": (50.0, 0.10, 0.022)}[name]  # fmt: skip
    tex = nt.nodes.new("ShaderNodeTexBrick")
    tex.inputs["Scale"].default_value = 1.0
    tex.inputs["Brick Width"].default_value = w
    tex.inputs["Row Height"].default_value = h
    tex.inputs["Mortar Size"].default_value = gap
    tex.inputs["Mortar Smooth"].default_value = 0.6
    v = 0.72 if name not in ("concrete", "floor") else 0.9
    tex.inputs["Color1"].default_value = (1, 1, 1, 1)
    tex.inputs["Color2"].default_value = (v, v, v, 1)
    tex.inputs["Mortar"].default_value = (0.42,) * 3 + (1,) if name != "wall" else (0.8,) * 3 + (1,)
    nt.links.new(where.outputs["UV"], tex.inputs["Vector"])
    mix = nt.nodes.new("ShaderNodeMix")
    mix.data_type, mix.blend_type = "RGBA", "MULTIPLY"
    mix.inputs[0].default_value = 1.0
    nt.links.new(colour, mix.inputs[6])
    nt.links.new(tex.outputs["Color"], mix.inputs[7])
    return mix.outputs[2]


def add(piece: Piece, finishes: Finishes, pose: Pose) -> bpy.types.Object:
    """Put one piece into the scene."""
    mesh = bpy.data.meshes.new(piece.component)
    v = pose.out(piece.vertices)
    faces = [f for f in piece.faces if len(set(f)) >= 3]
    mesh.from_pydata(v.tolist(), [], faces)
    if piece.uv is not None:
        layer = mesh.uv_layers.new(name="uv")
        index = np.empty(len(mesh.loops), dtype=np.int32)
        mesh.loops.foreach_get("vertex_index", index)
        layer.data.foreach_set("uv", piece.uv[index].astype(np.float32).ravel())
    if piece.smooth:
        mesh.polygons.foreach_set("use_smooth", [True] * len(mesh.polygons))
    mesh.materials.append(finishes[piece.finish])
    ob = bpy.data.objects.new(piece.component, mesh)
    bpy.context.scene.collection.objects.link(ob)
    if piece.smooth:
        mesh.validate()
        if hasattr(mesh, "set_sharp_from_angle"):
            mesh.set_sharp_from_angle(angle=math.radians(48))
    return ob


def solid(name: str, finish: str, vertices: np.ndarray, faces: list, finishes: Finishes, smooth: bool = False) -> bpy.types.Object:
    """Put scenery (metres) into the scene, with box-mapped texture coordinates in metres."""
    mesh = bpy.data.meshes.new(name)
    mesh.from_pydata(np.asarray(vertices).tolist(), [], faces)
    layer = mesh.uv_layers.new(name="uv")
    uv = np.zeros((len(mesh.loops), 2), np.float32)
    for p in mesh.polygons:
        n = np.abs(np.array(p.normal))
        for k in p.loop_indices:
            x, y, z = mesh.vertices[mesh.loops[k].vertex_index].co
            if n[2] >= max(n[0], n[1]):
                uv[k] = (x, y)
            elif finish in ("tin", "dark-tin"):
                uv[k] = (z, x if n[1] > n[0] else y)
            else:
                uv[k] = (x if n[1] > n[0] else y, z)
    layer.data.foreach_set("uv", uv.ravel())
    if smooth:
        mesh.polygons.foreach_set("use_smooth", [True] * len(mesh.polygons))
    mesh.materials.append(finishes[finish])
    ob = bpy.data.objects.new(name, mesh)
    bpy.context.scene.collection.objects.link(ob)
    return ob


def sky(horizon: tuple, zenith: tuple, strength: float, cloudiness: float, seed: float) -> None:
    """A graded sky with drifting cloud."""
    world = bpy.data.worlds.new("sky")
    bpy.context.scene.world = world
    world.use_nodes = True
    nt = world.node_tree
    bg = nt.nodes["Background"]
    bg.inputs["Strength"].default_value = strength
    co = nt.nodes.new("ShaderNodeTexCoord")
    sep = nt.nodes.new("ShaderNodeSeparateXYZ")
    nt.links.new(co.outputs["Generated"], sep.inputs[0])
    ramp = nt.nodes.new("ShaderNodeValToRGB")
    ramp.color_ramp.elements[0].position = 0.0
    ramp.color_ramp.elements[0].color = (*horizon, 1)
    ramp.color_ramp.elements[1].position = 0.5
    ramp.color_ramp.elements[1].color = (*zenith, 1)
    nt.links.new(sep.outputs["Z"], ramp.inputs["Fac"])
    mapping = nt.nodes.new("ShaderNodeMapping")
    mapping.inputs["Scale"].default_value = (1.3, 1.3, 4.2)
    mapping.inputs["Location"].default_value = (seed, seed * 0.7, 0)
    nt.links.new(co.outputs["Generated"], mapping.inputs[0])
    noise = nt.nodes.new("ShaderNodeTexNoise")
    noise.inputs["Scale"].default_value = 2.2
    noise.inputs["Detail"].default_value = 9
    noise.inputs["Roughness"].default_value = 0.58
    nt.links.new(mapping.outputs[0], noise.inputs["Vector"])
    cr = nt.nodes.new("ShaderNodeValToRGB")
    cr.color_ramp.elements[0].position = 0.62 - 0.25 * cloudiness
    cr.color_ramp.elements[1].position = 0.80 - 0.12 * cloudiness
    nt.links.new(noise.outputs[0], cr.inputs["Fac"])
    mix = nt.nodes.new("ShaderNodeMix")
    mix.data_type = "RGBA"
    mix.inputs[7].default_value = (0.95, 0.96, 0.97, 1)
    nt.links.new(cr.outputs["Color"], mix.inputs[0])
    nt.links.new(ramp.outputs["Color"], mix.inputs[6])
    nt.links.new(mix.outputs[2], bg.inputs["Color"])


def sun(azimuth_deg: float, elevation_deg: float, strength: float, width_deg: float = 0.6) -> None:
    """Sunlight from a compass direction in the scene's axes (degrees from +x towards +y)."""
    lamp = bpy.data.lights.new("sun", "SUN")
    lamp.energy, lamp.angle = strength, math.radians(width_deg)
    lamp.color = (1.0, 0.95, 0.88)
    ob = bpy.data.objects.new("sun", lamp)
    ob.rotation_euler = (math.radians(90 - elevation_deg), 0, math.radians(azimuth_deg + 90))
    bpy.context.scene.collection.objects.link(ob)


def look(camera: Camera, pose: Pose, focus: float = 0.0, aperture: float = 0.0) -> None:
    """Set the renderer's camera to a pinhole camera given in aeroplane axes."""
    w, h = camera.size
    data = bpy.data.cameras.new("camera")
    data.sensor_fit, data.sensor_width = "HORIZONTAL", 36.0
    data.lens = camera.focal * 36.0 / w
    data.shift_x = (w / 2 - camera.centre[0]) / w
    data.shift_y = (camera.centre[1] - h / 2) / w
    data.clip_start, data.clip_end = 0.05, 20000
    if aperture:
        data.dof.use_dof = True
        data.dof.focus_distance = focus
        data.dof.aperture_fstop = data.lens / 1000 / (2 * aperture)
    r = camera.rotation @ pose.turn.T
    m = np.eye(4)
    m[:3, 0], m[:3, 1], m[:3, 2] = r[0], -r[1], -r[2]
    m[:3, 3] = pose.out(camera.position)
    ob = bpy.data.objects.new("camera", data)
    ob.matrix_world = Matrix(m.tolist())
    bpy.context.scene.collection.objects.link(ob)
    bpy.context.scene.camera = ob


def expose(path: Path, size: tuple[int, int], samples: int, seed: int, percent: int = 100, threads: int = 2) -> None:
    """Render to a linear EXR file."""
    s = bpy.context.scene
    s.render.engine = "CYCLES"
    c = s.cycles
    c.device, c.samples, c.seed = "CPU", samples, seed
    c.use_denoising, c.denoiser = True, "OPENIMAGEDENOISE"
    c.use_adaptive_sampling = False
    c.max_bounces, c.diffuse_bounces, c.glossy_bounces = 4, 2, 2
    c.transparent_max_bounces = 8
    c.sample_clamp_indirect = 6
    s.render.threads_mode, s.render.threads = "FIXED", threads
    s.render.resolution_x, s.render.resolution_y = size
    s.render.resolution_percentage = percent
    s.render.image_settings.file_format = "OPEN_EXR"
    s.render.image_settings.color_depth = "16"
    s.view_settings.view_transform = "Raw"
    s.render.filepath = str(path)
    bpy.ops.render.render(write_still=True)
