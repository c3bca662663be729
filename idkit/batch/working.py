"""One job, start to end, in whatever process it is done."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from idkit import flows
from idkit.batch.jobs import Job, Manner, Outcome, Problem, Read, Stamp, Tag
from idkit.batch.recalling import content, stamp
from idkit.errors import IdkitError, MissingExtra
from idkit.flows import Tagged


def identify(job: Job, manner: Manner) -> Outcome:
    """What a job gives. Whatever goes wrong with its photos is told among the problems, and hurts no other job."""
    folder = Path(manner.folder)
    paths = [folder / photo for photo in job.photos]
    stamps = {photo: stamp(path) for photo, path in zip(job.photos, paths, strict=True)}
    context = flows.Context(note=job.note, even=manner.even, tools=manner.tools, sold=manner.sold)
    try:
        if job.each:
            found, unread = flows.tag_each(paths[0], job.typed, context, manner.sketch, job.numbered)
        else:
            found, unread = flows.tag(job.part, paths, job.typed, context, manner.sketch)
        tags = tuple(_under(one, folder, job, manner) for one in found)
    except Exception as error:  # a fault of ours on one part must not cost the others
        said = " ".join(f"could not be identified ({type(error).__name__}: {error}); please report it".split())
        return Outcome(job.part, {}, (), (Problem(job.photos[0], said),), kept=False)
    problems = tuple(Problem(path.relative_to(folder).as_posix(), _why(path, error)) for path, error in unread)
    kept = not any(isinstance(error, MissingExtra) for _, error in unread)  # it may be there the next time
    return Outcome(job.part, _files(job, folder, stamps, found), tags, problems, kept)


def _under(found: Tagged, folder: Path, job: Job, manner: Manner) -> Tag:
    """The part in JSON, its photos by their paths under the folder, so that a folder may be moved."""
    record = found.record
    photos = tuple(replace(photo, file=Path(photo.file).relative_to(folder).as_posix()) for photo in record.photos)
    kept = tuple(replace(photo, file=Path(photo.file).relative_to(folder).as_posix()) for photo in found.photos)
    number = f"-{record.part.rpartition('-')[2]}" if job.each else ""
    named = replace(record, part=f"{job.part}{number}", photos=photos)
    twice = tuple((file.relative_to(folder), line) for file, line in found.twice)
    return manner.describe(replace(found, record=named, photos=kept, twice=twice))


def _files(job: Job, folder: Path, stamps: dict[str, Stamp], found: Sequence[Tagged]) -> dict[str, Read]:
    """The stamp of each photo before it was read, and what it then held."""
    known = {photo.file: photo.sha256 for one in found for photo in one.record.photos}
    paths = ((photo, folder / photo) for photo in job.photos)
    return {photo: (stamps[photo], known.get(str(path)) or content(path)) for photo, path in paths}


def _why(path: Path, error: IdkitError) -> str:
    """An error without the photo's name, which stands beside it."""
    return str(error).removeprefix(" ".join(f"{path}:".split())).strip()


def one_thread() -> None:
    """In a process beside others, one a core: threads of its own would only wait for them."""
    import cv2
    from threadpoolctl import threadpool_limits

    cv2.setNumThreads(1)
    threadpool_limits(1)
