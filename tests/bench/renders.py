"""Rendered parts with and without a filed spot, kept in a folder, so that a stopped run goes on where it was."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from photographs import say

from idkit.swatches import filed, finishes
from idkit.vocabulary import Mask

QUALITY = 88  # of the JPEG that a phone writes


@dataclass(frozen=True)
class Render:
    """One picture on disk and its truth; masks are of the picture's size."""

    path: Path
    truth: dict[str, str]
    part: Mask
    bare: Mask

    @property
    def box(self) -> tuple[int, int, int, int] | None:
        """x, y, width, height of the bare metal as a person would name it."""
        if not self.bare.any():
            return None
        rows, columns = np.flatnonzero(self.bare.any(axis=1)), np.flatnonzero(self.bare.any(axis=0))
        return int(columns[0]), int(rows[0]), int(np.ptp(columns)) + 1, int(np.ptp(rows)) + 1


WORN = ("hinge", "pump-body", "gate-bolt", "hand-wheel", "rail", "cooker-knob")  # sample parts with skins of their own


def wanted(usual: int) -> tuple[Path, int] | None:
    """The folder of renders that the command line names, made where it is missing, and how many there should be; None,
    said, where it names none."""
    if len(sys.argv) < 2:
        say("name a folder for the renders")
        return None
    folder = Path(sys.argv[1])
    folder.mkdir(parents=True, exist_ok=True)
    return folder, int(sys.argv[2]) if len(sys.argv) > 2 else usual


def rendered(folder: Path, first_seed: int, number: int) -> Render:
    """Picture `number`: skins and metals in turn, two filed to one not; made where it is not in the folder yet."""
    skin = filed.SKINS[number % 4]
    base = list(filed.METALS)[number // 4 % 2]
    cut = number // 8 % 3 != 2
    path = folder / f"{first_seed + number:05d}-{skin}-{base}-{'filed' if cut else 'whole'}.jpg"
    return _kept(path, lambda: filed.photographed(first_seed + number, skin, base, filed=cut))


def worn(folder: Path, first_seed: int, number: int) -> Render:
    """Picture `number` of the sample parts as they are made, none filed: rust, holes, castings, plastic."""
    name = WORN[number % len(WORN)]
    path = folder / f"{first_seed + number:05d}-{name}.jpg"
    return _kept(path, lambda: filed.as_made(first_seed + number, name))


CASTINGS = ("hinge", "pump-body", "hand-wheel", "tap")  # shapes that are cast of zinc as well as of aluminium
GREY = {"zinc-die-cast": finishes.blotched_zinc, "aluminium-cast": finishes.plain_casting}


def casting(folder: Path, first_seed: int, number: int) -> Render:
    """Picture `number` of grey castings: each scene and shape once in zinc and once in aluminium."""
    metal = list(GREY)[number % 2]
    seed, name = first_seed + number // 2, CASTINGS[number // 2 % len(CASTINGS)]
    path = folder / f"{seed:05d}-{name}-{metal}.jpg"
    return _kept(path, lambda: filed.as_made(seed, name, other=GREY[metal]()))


def _kept(path: Path, make: Callable[[], filed.Filed]) -> Render:
    done = path.with_suffix(".json")
    if not done.exists():
        made = make()
        cv2.imwrite(str(path), made.picture[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, QUALITY])
        masks = np.stack([made.part, made.bare, made.bare], axis=-1).astype(np.uint8) * 255
        cv2.imwrite(str(path.with_suffix(".png")), masks)
        done.write_text(json.dumps(dict(made.truth)), encoding="utf-8")  # last: it says 'done'
    masks = cv2.imread(str(path.with_suffix(".png")))
    return Render(path, json.loads(done.read_text(encoding="utf-8")), masks[..., 0] > 0, masks[..., 1] > 0)
