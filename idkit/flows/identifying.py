"""One part from its photos, what was measured, or both; and the same part as more is answered."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path

from idkit import ask
from idkit.errors import CallError, IdkitError
from idkit.flows.looking import cues_of, look, read_all
from idkit.flows.models import model_in_use
from idkit.flows.recording import Context, record
from idkit.flows.results import Box, Identified, Seen
from idkit.vocabulary import Check, Cue, Photo


def identify(
    photos: Sequence[Path],
    typed: Mapping[str, str],
    *,
    surface: str | None = None,
    scratch: Box | None = None,
    note: str = "",
    even: bool = False,
    every_cue: bool = True,
    tools: Sequence[str] = (),
) -> Identified:
    """One part from its photos, what was measured, or both.

    `typed` holds answers as typed, by the names of the checks. Photos that can't be read are given back beside the
    verdict on the others; PhotoError where none can be. CallError where there is neither photo nor answer.
    A `scratch` box that can't be read is said among the photo's problems, and the part is judged as found.
    Without `every_cue` only the cues that bear on the verdict and its reasons are measured, which is quicker.
    `tools` are those at hand beside magnet, file and scale; `note` is whatever else was seen.
    """
    context = Context(surface, note, even, tools=tuple(tools))
    return begin(photos, typed, context, scratch=scratch, every_cue=every_cue).identified


def begin(
    photos: Sequence[Path],
    typed: Mapping[str, str],
    context: Context,
    *,
    scratch: Box | None = None,
    every_cue: bool = True,
) -> Case:
    """A part to ask about, its photos read; errors as those of identify."""
    if not photos and not ask.read(typed) and not context.note.strip():
        raise CallError("identify", "got no photo and no answer", "a photo, --magnet or another answer, or both")
    known, unread = read_all(photos)
    part = Path(photos[0]).stem if photos else "part"
    return Case(part, tuple(known), tuple(unread), dict(typed), context, scratch, cues_of(every_cue=every_cue))


@dataclass(frozen=True)
class Case:
    """One part as far as it is known; each answer makes a new one."""

    part: str
    photos: tuple[Photo, ...]
    unread: tuple[IdkitError, ...]
    typed: Mapping[str, str]
    context: Context
    scratch: Box | None
    cues: tuple[Cue, ...]
    looked: tuple[Seen, ...] | None = None  # what was seen in the photos, where that still holds

    @cached_property
    def identified(self) -> Identified:
        """The verdict on what is known now. The surface is what was said, else what was read in the photos."""
        bare = any(one.surface == "scratched" for one in self.seen)
        context = replace(self.context, surface=self.context.surface or ("scratched" if bare else "as-found"))
        found = record(self.part, self.seen, ask.read(self.typed), context, model_in_use())
        return Identified(found, self.seen, self.unread)

    @cached_property
    def seen(self) -> tuple[Seen, ...]:
        """What is seen in each photo. Where the eye has named the bare metal, it is not looked for: it counts once."""
        if self.looked is not None:
            return self.looked
        search = not self.typed.get("scratch-colour", "").strip()
        surface = self.context.surface
        return tuple(
            look(photo, model_in_use(), surface, self.scratch, self.cues, search=search) for photo in self.photos
        )

    @property
    def question(self) -> Check | None:
        """The check to ask now; None where the pile is settled, or nothing is worth another minute."""
        wanted = self.identified.record.verdict.next_check
        return ask.checks()[wanted.check] if wanted else None

    def lines(self, check: Check) -> tuple[Check, ...]:
        """What is typed to answer a check: itself, or the readings it is made of that are not known yet."""
        return tuple(ask.checks()[name] for name in check.by if not self.typed.get(name, "").strip()) or (check,)

    def answered(self, more: Mapping[str, str]) -> Case:
        """The part with more answers, as typed by check; AnswerError or AmountError where one can't be read."""
        typed = {**self.typed, **more}
        ask.read(typed)
        return replace(self, typed=typed, looked=None if "scratch-colour" in more else self.seen)

    def skipped(self, check: str) -> Case:
        """The part without that check: it is not asked again."""
        context = replace(self.context, skipped=self.context.skipped | {check})
        return replace(self, context=context, looked=self.seen)

    def unsafe(self) -> Case:
        """The part after a person said that a check is not safe: it is left closed."""
        return replace(self, context=replace(self.context, unsafe=True), looked=self.seen)
