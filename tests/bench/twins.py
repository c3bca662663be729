"""How surely a photo is known again when it comes saved another way: python tests/bench/twins.py [FOLDER] [EVERY]

The real coins, which are as alike as photographs get. Each is turned, mirrored, resized and recompressed; printed are
the bits of 256 in which its likeness then differs from its own, and those in which every two different photographs
differ at the least, laid in any of eight ways. The limit must lie between; the same is printed for 64 bits, as is usual
elsewhere. Then, for warnings of past mistakes, how far apart the judged cues of two photos are, of one kind of coin and
of two kinds.
EVERY takes each n-th photo only.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterator
from itertools import combinations
from pathlib import Path

import cv2
import numpy as np
from photographs import Row, labelled, say

from idkit import flows, see
from idkit.flows import remembering
from idkit.keep.likeness import APART, turned
from idkit.vocabulary import Floats

Picture = np.ndarray[tuple[int, ...], np.dtype[np.uint8]]
SHORT = 8  # coefficients along a side of the usual 64 bits


def changed(picture: Picture) -> Iterator[tuple[str, Picture, int]]:
    """What is done, the picture, and the JPEG quality it is saved with."""
    for quality in (30, 60, 95):
        yield f"JPEG quality {quality}", picture, quality
    yield "half the size", scaled(picture, 0.5), 85
    yield "double the size", scaled(picture, 2.0), 85
    yield "a quarter turn, quality 60", np.rot90(picture), 60
    yield "mirrored, quality 60", picture[:, ::-1], 60
    yield "upside down at 0.6 of the size, quality 70", scaled(np.ascontiguousarray(np.rot90(picture, 2)), 0.6), 70


def scaled(picture: Picture, scale: float) -> Picture:
    """Area-averaged or cubic."""
    how = cv2.INTER_AREA if scale < 1 else cv2.INTER_CUBIC
    return np.asarray(cv2.resize(picture, None, fx=scale, fy=scale, interpolation=how), np.uint8)


def likeness(path: Path) -> bytes:
    """As the store would know the photo."""
    return see.likeness(see.thumbnail(see.read(path)))


def ways(one: bytes) -> Floats:
    """The eight ways to lay a picture, 8 x 16 x 16 of 0 and 1."""
    packed = [np.frombuffer(way.to_bytes(32), np.uint8) for way in turned(one)]
    return np.unpackbits(np.stack(packed), axis=1).reshape(8, 16, 16).astype(float)


def between(laid: Floats, side: int) -> Floats:
    """The least bits, over the ways to lay one of them, in which every two photos differ; pairs."""
    cut = laid[:, :, :side, :side].reshape(len(laid), 8, -1)
    own = cut[:, 0]
    least = np.min(
        [own.sum(1)[:, None] + way.sum(1)[None] - 2 * own @ way.T for way in cut.transpose(1, 0, 2)],
        axis=0,
    )
    return np.asarray(least[np.triu_indices(len(own), 1)])


def saved_otherwise(rows: list[Row], laid: Floats, folder: Path) -> dict[str, list[tuple[int, int]]]:
    """By what was done to it, the bits of 256 and of 64 in which each photo differs from itself."""
    found: dict[str, list[tuple[int, int]]] = {}
    place = folder / "changed.jpg"
    for row, mine in zip(rows, laid, strict=True):
        for name, picture, quality in changed(cv2.imread(str(Path(row["folder"]) / row["file"]))):
            assert cv2.imwrite(str(place), np.ascontiguousarray(picture), [cv2.IMWRITE_JPEG_QUALITY, quality])
            off = mine != ways(likeness(place))[0]
            bits = tuple(int(off[:, :side, :side].sum((1, 2)).min()) for side in (16, SHORT))
            found.setdefault(name, []).append((bits[0], bits[1]))
    return found


def told_by_cues(rows: list[Row]) -> None:
    """How far apart judged cues are, of two photos of a kind of coin and of two kinds of another colour."""
    model = flows.starter()
    cues = [
        {reading.name: reading.value for reading in seen.report.readings}
        for row in rows
        for seen in [flows.look(see.read(Path(row["folder"]) / row["file"]), model, "as-found", None, flows.JUDGED)]
    ]
    kinds: dict[bool, list[float]] = {True: [], False: []}
    for (one, mine), (other, theirs) in combinations(zip(rows, cues, strict=True), 2):
        if one["denomination"] == other["denomination"] or one["colour_family"] != other["colour_family"]:
            alike = one["denomination"] == other["denomination"]
            kinds[alike].append(remembering.between(mine, theirs, model))
    for alike, name in ((True, "one kind of coin"), (False, "two kinds, of other colours")):
        near = 100 * np.mean(np.array(kinds[alike]) <= remembering.NEAR)
        say(f"judged cues within {remembering.NEAR:g} spreads, {name}: {near:.1f} of 100, {len(kinds[alike])} pairs")


def main() -> int:
    """Print all; 1 where the limit does not part the same photos from others, 3 where the folder is missing."""
    rows = labelled("coins")
    if rows is None:
        return 3
    rows = rows[:: int(sys.argv[2]) if len(sys.argv) > 2 else 1]
    laid = np.stack([ways(likeness(Path(row["folder"]) / row["file"])) for row in rows])
    others = between(laid, 16)
    with tempfile.TemporaryDirectory() as folder:
        found = saved_otherwise(rows[::4], laid[::4], Path(folder))
    for name, bits in found.items():
        most, all_ = np.percentile([first for first, _ in bits], 99), max(first for first, _ in bits)
        say(f"{name}: {len(bits)} photos, 99 of 100 within {most:.0f} bits, all within {all_}")
    same = np.array([pair for bits in found.values() for pair in bits])
    for column, side, limit in ((0, 16, APART), (1, SHORT, int(same[:, 1].max()))):
        apart = between(laid, side)
        known, taken = 100 * np.mean(same[:, column] <= limit), int((apart <= limit).sum())
        say(f"{side * side} bits, limit {limit}: known again {known:.2f} of 100 of {len(same)}")
        say(f"  taken for another {taken} of {len(apart)} pairs, the nearest {apart.min():.0f}")
    told_by_cues([row for row in rows if row["colour_family"] != "two-tone"][::4])
    return 0 if same[:, 0].max() <= APART < others.min() else 1


if __name__ == "__main__":
    sys.exit(main())
