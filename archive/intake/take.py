"""What a run would take in: files looked at, told from what is held, proposed as records."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from typing import Any

from archive.core.images import ImageFacts
from archive.core.problems import Problem, Where
from archive.imaging.arrivals import Arrival, keep_sums, look_at, pixel_sums
from archive.imaging.catalogue import facts_of
from archive.imaging.limits import MOST_PIXELS
from archive.imaging.refusals import ImageRefused
from archive.intake.alike import Alike, alike
from archive.intake.captions import Captions, Row
from archive.intake.files import Incoming
from archive.intake.ids import propose_id
from archive.intake.pairing import pair, source_named
from archive.intake.propose import Newcomer, Proposal, propose, words_of
from archive.intake.recognise import Known, recognise, worth_summing
from archive.intake.told import title_of
from archive.read.load import Loaded

Progress = Callable[[str, int, int], None]

WITHOUT_SOURCE = ("as-found", "mock-up")
"""Pictures of our own: the file is all there is, and no print lies in a box behind it."""


@dataclass(frozen=True, slots=True)
class Asked:
    """What the run is asked to do: the sources' id for all, the kind of all, who records, when,
    whether pictures that are held already come in all the same, and whether what the pictures
    show is compared."""

    on: date
    source: str = ""
    kind: str | None = None
    who: str = ""
    held_too: bool = False
    compare: bool = True


@dataclass(slots=True)
class Taken:
    """What came of it. `held` is (file, what it is the same as, how) of each that stays out;
    `like` is, by file, what shows the same as one that comes in."""

    proposals: list[Proposal] = field(default_factory=list)
    held: list[tuple[Incoming, str, str]] = field(default_factory=list)
    like: dict[Path, tuple[Alike, ...]] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)


def take(
    files: list[Incoming],
    captions: Captions | None,
    loaded: Loaded,
    cache: Path | None,
    asked: Asked,
    progress: Progress = lambda what, done, total: None,
) -> Taken:
    """Proposals for the files that can come in; a problem for each that can't. Writes nothing."""
    taken = Taken()
    rows: Mapping[Path, Row] = {}
    if captions is not None:
        rows, taken.problems = pair(files, captions, loaded.library, asked.source)
        files = [one for one in files if one.path not in rows or rows[one.path].sound]
    facts = _facts(taken, files, rows)
    held = _held(loaded, cache)
    held_facts = {ref: fact for ref, (_, fact) in held.items()}
    same_bytes = recognise(facts, {}, held_facts, {})
    fresh = {path: fact for path, fact in facts.items() if path not in same_bytes or asked.held_too}
    arrivals = _arrivals(taken, files, fresh, progress)
    facts = {path: facts[path] for path in facts if path in arrivals or path in same_bytes}
    kept = cache / "pixels.json" if cache else None
    keep_sums({facts[path]: arrival for path, arrival in arrivals.items()}, kept)
    sized = worth_summing({path: facts[path] for path in arrivals}, held_facts)
    sums = pixel_sums({held[ref][0]: fact for ref, fact in sized.items()}, kept)
    held_sums = {ref: sums[path] for ref, (path, _) in held.items() if path in sums}
    pixels = {path: arrival.pixels for path, arrival in arrivals.items()}
    known = recognise(facts, pixels, held_facts, held_sums)
    newcomers = []
    for one in files:
        same = known.get(one.path)
        if same:
            taken.held.append((one, _called(same, files), same.how))
        if one.path in arrivals and (same is None or (asked.held_too and same.ref)):
            path = one.path
            newcomers.append(Newcomer(one, facts[path], arrivals[path], rows.get(path)))
    if asked.compare and newcomers:
        told = {one.path: one.told for one in files}
        taken.like = alike(
            {one.incoming.path: one.facts for one in newcomers},
            held,
            told.__getitem__,
            cache,
            lambda done, total: progress("comparing", done, total),
        )
    taken.proposals = _proposals(taken, newcomers, loaded, asked)
    return taken


def _facts(taken: Taken, files: list[Incoming], rows: Mapping[Path, Row]) -> dict[Path, ImageFacts]:
    large = {
        p: MOST_PIXELS for p, row in rows.items() if (row.fields.get("scan") or {}).get("large")
    }
    looked = facts_of([one.path for one in files], allowed_pixels=large)
    found = {}
    for one in files:
        fact = looked[one.path]
        if isinstance(fact, ImageRefused):
            taken.problems.append(_refused(one, fact))
        else:
            found[one.path] = fact
    return found


def _arrivals(
    taken: Taken, files: list[Incoming], facts: Mapping[Path, ImageFacts], progress: Progress
) -> dict[Path, Arrival]:
    looked = look_at(facts, lambda done, total: progress("looking", done, total))
    found = {}
    for one in files:
        arrival = looked.get(one.path)
        if isinstance(arrival, ImageRefused):
            taken.problems.append(_refused(one, arrival))
        elif arrival is not None:
            found[one.path] = arrival
    return found


_PAPER = (
    "A paper comes in as pictures of its pages: export them as TIFF, PNG or JPEG, and add them "
    "with --kind document."
)


def _refused(one: Incoming, refusal: ImageRefused) -> Problem:
    papers = (".pdf", ".txt", ".doc", ".docx", ".odt", ".rtf")
    hint = _PAPER if one.path.suffix.lower() in papers else refusal.hint
    if refusal.code == "image-missing":
        hint = "Correct its name, or say where it lies."
    return Problem(Where(one.told), refusal.code, refusal.says, hint)


def _held(loaded: Loaded, cache: Path | None) -> dict[str, tuple[Path, ImageFacts]]:
    """What each held picture is called → its file and facts; one without a note by its file."""
    photos = loaded.library.photos
    called = {path: f"photos/{id_}" for id_, path in loaded.pictures.items()}
    called |= {path: f"photos/{path.name} (without a note)" for path in loaded.alone.values()}
    large = {
        path: MOST_PIXELS
        for id_, path in loaded.pictures.items()
        if (scan := photos[id_].scan) and scan.large
    }
    facts = facts_of(called, cache / "images.json" if cache else None, allowed_pixels=large)
    return {
        called[path]: (path, fact) for path, fact in facts.items() if isinstance(fact, ImageFacts)
    }


def _called(known: Known, files: list[Incoming]) -> str:
    return known.ref or next(one.told for one in files if one.path == known.other)


def _proposals(
    taken: Taken, newcomers: list[Newcomer], loaded: Loaded, asked: Asked
) -> list[Proposal]:
    library = loaded.library
    photos = {*library.photos, *loaded.alone}
    sources = set(library.sources)
    brought = _brought(newcomers, asked.source)
    wanted = {one.row.id for one in newcomers if one.row and one.row.id}
    found = []
    for one in newcomers:
        row = one.row
        if row and row.id:
            photo = row.id
            if photo in photos:
                says = f"The id {photo} is taken."
                problem = Problem(row.place["id"], "id-taken", says, "Choose another, or none.")
                taken.problems.append(problem)
                continue
        else:
            words = [str(row.fields.get("title") or "") if row else ""]
            words += [title_of(one.arrival.carried) or "", words_of(one.incoming.name)]
            photo = propose_id(words, photos | wanted, f"picture-{one.facts.sha256[:8]}")
        photos.add(photo)
        kind = (row.fields.get("kind") if row else None) or asked.kind
        source = source_named(row) or asked.source
        told = bool(row and row.source)
        if not source and (kind not in WITHOUT_SOURCE or told):
            source = propose_id([photo], sources, photo)
        new = bool(source) and source not in sources
        sources.add(source)
        brings = brought.get(source) or (row.source if row else {}) if new else None
        like = taken.like.get(one.incoming.path, ())
        found.append(propose(one, photo, source, brings, asked.kind, asked.who, asked.on, like))
    return found


def _brought(newcomers: list[Newcomer], source: str) -> dict[str, dict[str, Any]]:
    """Source id → what the rows say of it, together: whichever says it, all that name it share."""
    found: dict[str, dict[str, Any]] = {}
    for row in (one.row for one in newcomers if one.row):
        id_ = source_named(row) or source
        if id_:
            _lay(found.setdefault(id_, {}), row.source)
    return found


def _lay(under: dict[str, Any], over: Mapping[str, Any]) -> None:
    for word, value in over.items():
        if isinstance(value, Mapping):
            _lay(under.setdefault(word, {}), value)
        else:
            under.setdefault(word, value)
