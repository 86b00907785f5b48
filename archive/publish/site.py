"""A site from a view: pictures, pages, theme and search, staged whole and switched in at once."""

from __future__ import annotations

import contextlib
import hashlib
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from itertools import count
from pathlib import Path

from archive.audience.view import View
from archive.core.atomic import CannotWrite
from archive.core.images import Overlay, PictureSet, RectifiedPicture
from archive.core.problems import Problem, Where
from archive.core.theme import WORKSHOP, theme_dir
from archive.exchange.tiling import tiled
from archive.pictures.make import make_pictures
from archive.pictures.overlays import OverlayOrder, make_overlays
from archive.pictures.rectified import RectifiedOrder, make_printed, make_rectified
from archive.publish.inputs import Fingerprint, program_hash
from archive.publish.memory import PageMemory
from archive.publish.ordering import picture_order, plane_orders
from archive.publish.parallel import chunked, run
from archive.publish.stage import Stage, Writer, Written
from archive.publish.template import around, plain_values, print_order, set_values
from archive.search.shards import export
from archive.site.addresses import RIGHTS_TABLE, SEARCH_FOLDER, TEMPLATES, template_of
from archive.site.context import Context
from archive.site.documents import documents
from archive.site.page import Page
from archive.site.pages import site_of, site_pages
from archive.site.render import render, theme_files
from archive.site.rights import rights_table

CHUNK = 50
"""Pages that a worker is handed at a time."""

THEMES = {"public": "visitors"}
"""Audience → its theme, where that isn't the workshop's."""

PICTURE_FOLDERS = ("pictures", "tiles")

Progress = Callable[[str, int, int], None]


@dataclass(frozen=True)
class Published:
    """What went out: the folder, how many files, how many pages were made and how many kept,
    the pictures that could not be made, as problems, and the id of the bytes made."""

    out: Path
    files: int
    made: int
    kept: int
    problems: tuple[Problem, ...]
    build: str


def program_digest() -> str:
    """A sum over the program and its theme: pages of another version are made anew."""
    return program_hash(Path(__file__).parents[1], *map(theme_dir, (WORKSHOP, *THEMES.values())))


def publish(
    view: View,
    folder: Path,
    files: Mapping[str, Path],
    out: Path,
    cache: Path | None,
    inputs: Fingerprint,
    progress: Progress,
) -> Published:
    """Make the site of `view` in `out`.

    `folder` is the content folder, `files` the picture file of each photograph, `cache` the private
    folder or None, `inputs` what the content looked like before it was read. `progress` is told
    (what is being made, how many are done, of how many). Raises `Refused` where `out` is no folder
    of ours, and `CannotWrite` where the disk refuses; the old site then stands as it was.
    """
    program = program_digest()
    with Stage(out, folder) as stage:
        memory = PageMemory(cache, out)
        sets, problems = _pictures(view, folder, files, stage.writer.site, cache, progress)
        overlays = _overlays(view, files, stage.writer.site, cache, progress)
        planes = _rectified(view, files, stage.writer.site, cache, progress)
        for name in PICTURE_FOLDERS:
            if (stage.writer.site / name).is_dir():
                stage.adopt(name)
        theme = THEMES.get(view.audience, WORKSHOP)
        keys: dict[str, str] = {}
        stale: list[Page] = []
        for page in site_pages(view, sets, overlays, planes):
            keys[page.path] = key = _key(program, page)
            if memory.fresh(page.path, key):
                stage.keep(page.path)
            else:
                stale.append(page)
        kept = len(keys) - len(stale)
        chunks = chunked(stale, CHUNK)
        for written in run(
            _render_chunk,
            stage.writer,
            chunks,
            progress=lambda done: progress("pages", min(done * CHUNK, len(stale)), len(stale)),
        ):
            stage.record(written)
        for path, source in theme_files(theme):
            _put(stage, memory, keys, path, source.read_bytes())
        laid_out = {ref: order for ref, order in plane_orders(view, files).items() if ref in planes}
        context = Context(view, sets, site_of(view))
        keep = _keep(cache, stage.writer.site)
        _templates(stage, memory, keys, program, context, laid_out, keep)
        if theme == WORKSHOP and view.rights:
            made_table = rights_table(Context(view, sets, site_of(view)))
            _put(stage, memory, keys, RIGHTS_TABLE, made_table)
        if theme == WORKSHOP:
            progress("search", 0, 1)
            found = documents(view)
            for name, data in export(found, cache / "search" if cache else None).items():
                _put(stage, memory, keys, SEARCH_FOLDER + name, data)
            progress("search", 1, 1)
        made = stage.finish()
        # The site stands; a memory that can't be kept only makes the next build longer.
        with contextlib.suppress(CannotWrite):
            memory.save(made, keys, inputs)
    return Published(out, len(made.files), len(stale), kept, tuple(problems), made.manifest.build)


def _put(stage: Stage, memory: PageMemory, keys: dict[str, str], path: str, data: bytes) -> None:
    keys[path] = key = hashlib.sha256(data).hexdigest()
    if memory.fresh(path, key):
        stage.keep(path)
    else:
        stage.write(path, data)


def _templates(
    stage: Stage,
    memory: PageMemory,
    keys: dict[str, str],
    program: str,
    context: Context,
    orders: Mapping[str, RectifiedOrder],
    cache: Path,
) -> None:
    """The planes to print at true size, for each paper; set anew where what they say has changed,
    or the picture that they show."""
    stale: dict[str, tuple[RectifiedOrder, dict[str, object], str]] = {}
    for ref, order in orders.items():
        plans = {paper: tiled(around(order.plane), paper) for paper in TEMPLATES}
        asked = print_order(order, plans.values())
        for paper, plan in plans.items():
            values = plain_values(context, ref, plan, asked)
            said = f"{program}\n{asked.key()}\n{json.dumps(values, sort_keys=True)}"
            path = template_of(ref, paper)
            key = hashlib.sha256(said.encode("utf-8", "surrogatepass")).hexdigest()
            if memory.fresh(path, key):
                stage.keep(path)
                keys[path] = key
            else:
                stale[path] = asked, values, key
    wanted = {asked.name: asked for asked, *_ in stale.values()}
    made = make_printed(list(wanted.values()), cache)
    for path, (asked, values, key) in stale.items():
        if asked.name in made:
            stage.write(path, set_values(values, made[asked.name]))
            keys[path] = key


def _key(program: str, page: Page) -> str:
    """What a page is made from: the program, the theme, and every word that it says."""
    return hashlib.sha256(f"{program}\n{page!r}".encode("utf-8", "surrogatepass")).hexdigest()


def _render_chunk(writer: Writer, chunk: Sequence[Page]) -> list[Written]:
    return [writer.write(page.path, render(page)) for page in chunk]


def _where(picture: Path, folder: Path) -> Where:
    return Where(picture.relative_to(folder.resolve()).as_posix())


def _pictures(
    view: View,
    folder: Path,
    files: Mapping[str, Path],
    site: Path,
    cache: Path | None,
    progress: Progress,
) -> tuple[dict[str, PictureSet], list[Problem]]:
    # The visitors' edition has no closer look, so no tiles.
    more = {"tiles": False} if view.audience == "public" else {}
    orders = [
        picture_order(view, id_, files[id_], facts, **more)
        for id_, facts in view.images.items()
        if id_ in files
    ]
    tell = _counting(progress, "pictures", len(orders))
    sets, refusals = make_pictures(orders, site, _keep(cache, site), progress=tell)
    problems = [
        Problem(
            _where(refused.source, folder), refused.why.code, refused.why.says, refused.why.hint
        )
        for refused in refusals
    ]
    return sets, problems


def _counting(progress: Progress, what: str, of: int) -> Callable[[str], None]:
    """Tells `progress` of one more at each call."""
    done = count(1)
    return lambda _: progress(what, next(done), of)


def _keep(cache: Path | None, site: Path) -> Path:
    return cache / "pictures" if cache else site.parent / f"{site.name}-pictures"


def _overlays(
    view: View,
    files: Mapping[str, Path],
    site: Path,
    cache: Path | None,
    progress: Progress,
) -> dict[tuple[str, str], Overlay]:
    """The related pictures, pair by pair of REFs, brought to one frame.

    They are working pictures, cut, drawn over and toned: the public gets none.
    """
    if view.audience == "public":
        return {}
    orders: dict[tuple[str, str], OverlayOrder] = {}
    for pair in view.findings.related:
        ids = [ref.partition("/")[2] for ref in (pair.one, pair.other)]
        if all(id_ in view.images and id_ in files for id_ in ids):
            facts = (view.images[ids[0]], view.images[ids[1]])
            name = hashlib.sha256(f"{ids[0]} {ids[1]}".encode()).hexdigest()[:12]
            paths = (files[ids[0]], files[ids[1]])
            orders[pair.one, pair.other] = OverlayOrder(f"pair-{name}", *paths, facts, pair.found)
    tell = _counting(progress, "pairs of pictures", len(orders))
    made = make_overlays(list(orders.values()), site, _keep(cache, site), progress=tell)
    return {refs: made[order.name] for refs, order in orders.items() if order.name in made}


def _rectified(
    view: View,
    files: Mapping[str, Path],
    site: Path,
    cache: Path | None,
    progress: Progress,
) -> dict[str, RectifiedPicture]:
    """The planes of the view laid out at true scale, by the REF of their measurement."""
    orders = plane_orders(view, files)
    tell = _counting(progress, "planes", len(orders))
    made = make_rectified(list(orders.values()), site, _keep(cache, site), progress=tell)
    return {ref: made[order.name] for ref, order in orders.items() if order.name in made}
