"""One part from its photos, what was measured, or both."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from idkit import ask
from idkit.errors import CallError
from idkit.flows.looking import cues_of, look, read_all
from idkit.flows.recording import Context, record
from idkit.flows.results import Box, Identified
from idkit.flows.shipped import starter


def identify(
    photos: Sequence[Path],
    typed: Mapping[str, str],
    *,
    surface: str | None = None,
    scratch: Box | None = None,
    came_out_of: str = "",
    marked: str = "",
    even: bool = False,
    every_cue: bool = True,
) -> Identified:
    """One part from its photos, what was measured, or both.

    `typed` holds answers as typed, by the names of the checks. Photos that can't be read are given back beside the
    verdict on the others; PhotoError where none can be. CallError where there is neither photo nor answer.
    A `scratch` box that can't be read is said among the photo's problems, and the part is judged as found.
    Without `every_cue` only the cues that bear on the verdict and its reasons are measured, which is quicker.
    """
    answers = ask.read(typed)
    if not photos and not answers:
        raise CallError("identify", "got no photo and no answer", "a photo, --magnet or another answer, or both")
    model, cues = starter(), cues_of(every_cue=every_cue)
    search = "scratch-colour" not in answers  # what the eye saw bare counts once
    known, unread = read_all(photos)
    seen = tuple(look(photo, model, surface, scratch, cues, search=search) for photo in known)
    read = "scratched" if any(one.surface == "scratched" for one in seen) else "as-found"
    context = Context(surface or read, came_out_of, marked, even)
    part = Path(photos[0]).stem if photos else "part"
    return Identified(record(part, seen, answers, context, model), seen, tuple(unread))
