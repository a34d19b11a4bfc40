"""Rendering a picture or a film: engine, quality, device and file."""

from __future__ import annotations

import os
import time
from pathlib import Path
from typing import TYPE_CHECKING, Any

import bpy

from ..stampwright.errors import OutputError, reason_of
from . import stage
from .scenery.framing import keep_framed
from .timing import (
    SAMPLES,
    Effort,
    Speed,
    begin,
    ended,
    given_up,
    has_graphics_device,
    is_first_use,
    keep_speed,
)

if TYPE_CHECKING:
    from bpy.types import Scene

TILE = 24_000
"""Pixels of the small picture by which speed is measured."""

STILLS = {
    ".png": "PNG",
    ".jpg": "JPEG",
    ".jpeg": "JPEG",
    ".webp": "WEBP",
    ".tif": "TIFF",
    ".tiff": "TIFF",
    ".exr": "OPEN_EXR",
}
FILMS = {".mp4": "MPEG4", ".mkv": "MKV", ".mov": "QUICKTIME", ".webm": "WEBM"}
"""What a file is by the end of its name; a film whose name ends otherwise is a folder of frames."""


def set_up(scene: Any, effort: Effort) -> None:
    """Set a picture's scene to a size, an engine and a quality."""
    render = scene.render
    render.resolution_x, render.resolution_y, render.resolution_percentage = effort.width, effort.height, 100
    keep_framed(scene)
    samples = SAMPLES[effort.quality]
    if effort.engine == "CYCLES":
        render.engine = "CYCLES"
        cycles = scene.cycles
        cycles.device = "GPU" if has_graphics_device() else "CPU"
        cycles.samples, cycles.use_adaptive_sampling = samples, False
        # Bounces that a table top in soft light does not show.
        cycles.max_bounces, cycles.diffuse_bounces, cycles.glossy_bounces = 6, 3, 3
        cycles.caustics_reflective = cycles.caustics_refractive = False
        _smooth(cycles)
        stage.hide_what_catches(scene)
        return
    try:
        # Its name up to 4.5; from 5.0 on it is the plain one again.
        render.engine = "BLENDER_EEVEE_NEXT"
    except TypeError:
        render.engine = "BLENDER_EEVEE"
    eevee = scene.eevee
    eevee.taa_render_samples = samples
    eevee.use_shadows = eevee.use_raytracing = True
    eevee.ray_tracing_options.trace_max_roughness = 0.6
    # What is looked for behind a surface is no thicker than a stamp's parts.
    eevee.fast_gi_thickness_near = 0.005
    stage.hide_what_catches(scene)


def measure(scene: Any, effort: Effort) -> None:
    """Measure how quickly a picture renders here, by two small renders of it, for estimates from then on."""
    set_up(scene, effort)
    render = scene.render
    render.resolution_percentage = max(1, min(100, round(100 * (TILE / (effort.width * effort.height)) ** 0.5)))
    pixels = effort.width * effort.height * (render.resolution_percentage / 100.0) ** 2
    scene.cycles.use_denoising = False
    counts = (1, 13)
    took: list[float] = []
    # Where the engine has to compile first, that is no part of what later pictures take.
    for count in (1, *counts) if is_first_use(effort.engine) else counts:
        scene.cycles.samples = scene.eevee.taa_render_samples = count
        began = time.perf_counter()
        bpy.ops.render.render(scene=scene.name)
        took = [*took[-1:], time.perf_counter() - began]
    ray = max(took[1] - took[0], 1e-4) / ((counts[1] - counts[0]) * pixels)
    keep_speed(effort.engine, Speed(max(took[0] - ray * pixels, 0.0), ray))
    set_up(scene, effort)


def aim_still(scene: Scene, path: Path, *, overwrite: bool) -> None:
    """Have the next picture written to a file; raises :class:`OutputError` when that cannot be."""
    kind = STILLS.get(path.suffix.lower())
    if kind is None:
        raise OutputError(f"{path.name}: a picture's name ends in one of {', '.join(STILLS)}")
    _check(path, overwrite=overwrite)
    _set_format(scene, "IMAGE", kind)
    scene.render.filepath, scene.render.use_file_extension = str(path), False


def aim_film(scene: Any, path: Path, *, overwrite: bool) -> None:
    """Have the next film written to a video file, or to a folder of frames; raises :class:`OutputError`."""
    kind = FILMS.get(path.suffix.lower())
    if kind is None and path.suffix:
        raise OutputError(f"{path.name}: a film's name ends in one of {', '.join(FILMS)}, or is that of a folder")
    if kind is None:
        if path.is_dir() and any(path.iterdir()) and not overwrite:
            raise OutputError(f"{path}: there are files in this folder; choose another, or turn Overwrite on")
        _make_folder(path)
        _set_format(scene, "IMAGE", "PNG")
        scene.render.filepath, scene.render.use_file_extension = str(path / "frame ####.png"), False
        return
    video_of_host: Any = bpy.app.ffmpeg
    if not video_of_host.supported:
        raise OutputError("This Blender was built without video: render to a folder of frames instead")
    _check(path, overwrite=overwrite)
    _set_format(scene, "VIDEO", "FFMPEG")
    video = scene.render.ffmpeg
    video.format = kind
    video.codec = "WEBM" if kind == "WEBM" else "H264"
    video.constant_rate_factor, video.ffmpeg_preset = "HIGH", "GOOD"
    scene.render.filepath, scene.render.use_file_extension = str(path), False


def render(scene: Scene, effort: Effort, *, film: bool = False, in_window: bool = False) -> None:
    """Render to the file that was aimed at: beside Blender, with its progress and Esc, or now.

    Raises :class:`OutputError` when the host could not.
    """
    begin(effort, scene.frame_end - scene.frame_start + 1 if film else 1)
    try:
        if in_window:
            # What the host tells of its end goes to the estimates too.
            bpy.ops.render.render("INVOKE_DEFAULT", animation=film, write_still=not film, scene=scene.name)
        else:
            bpy.ops.render.render(animation=film, write_still=not film, scene=scene.name)
            ended()
    except RuntimeError as error:
        given_up()
        raise OutputError(f"The picture could not be rendered: {str(error).strip().removeprefix('Error: ')}") from error


def free_name(folder: Path, name: str, suffix: str) -> Path:
    """Return a path in a folder that no file has yet, numbered where the name is taken."""
    kept = "".join(letter if letter.isalnum() or letter in "-_ " else "_" for letter in name).strip() or "stamp"
    path, number = folder / f"{kept}{suffix}", 2
    while path.exists():
        path, number = folder / f"{kept} {number}{suffix}", number + 1
    return path


def _smooth(cycles: Any) -> None:
    try:
        cycles.denoiser = "OPENIMAGEDENOISE"
        cycles.use_denoising = True
        cycles.denoising_input_passes, cycles.denoising_prefilter = "RGB_ALBEDO_NORMAL", "FAST"
    except TypeError:
        # Some builds come without; then the noise stays.
        cycles.use_denoising = False


def _set_format(scene: Any, medium: str, kind: str) -> None:
    settings = scene.render.image_settings
    # From 5.0 on pictures and films are told apart first.
    if hasattr(settings, "media_type"):
        settings.media_type = medium
    settings.file_format = kind
    # JPEG has no room for what is transparent.
    settings.color_mode = "RGBA" if scene.render.film_transparent and kind in ("PNG", "TIFF", "WEBP") else "RGB"


def _check(path: Path, *, overwrite: bool) -> None:
    if path.is_dir():
        raise OutputError(f"{path}: this is a folder; give the name of a file")
    if path.exists() and not overwrite:
        raise OutputError(f"{path}: this file is there already; choose another name, or turn Overwrite on")
    _make_folder(path.parent)


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputError(f"{folder}: this folder cannot be made ({reason_of(error)})") from error
    if not os.access(folder, os.W_OK):
        raise OutputError(f"{folder}: nothing can be written into this folder")
