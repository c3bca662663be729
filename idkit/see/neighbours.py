"""What touches the part and goes on past the frame: neighbours, told by the neck between them."""

from __future__ import annotations

import cv2
import numpy as np

from idkit.see.parting import parted
from idkit.vocabulary import Mask

BEYOND = 0.2  # of the longer side, that what the frame cuts is taken to go on


def alone(mask: Mask) -> Mask:
    """The part without what hangs on it by a narrow neck and is cut by the frame, as coins or castings that touch do.

    What reaches the frame without a neck, as a pipe does, is the part's own.
    """
    if not (mask & _edge_of(mask)).any():
        return mask
    far = round(BEYOND * max(mask.shape))
    labels = parted(np.pad(mask, far, mode="edge"))[far:-far, far:-far]
    if not (labels[mask] > 0).any():  # slivers, in which no neck can be seen
        return mask
    meant = heaviest(np.where(mask, labels, 0))
    cut = set(np.unique(labels[_edge_of(mask)]).tolist()) - {0, meant}
    if not cut:
        return mask
    kept = (mask & ~np.isin(labels, list(cut))).astype(np.uint8)
    pieces = cv2.connectedComponents(kept, connectivity=4)[1]
    return np.asarray(pieces == np.bincount(pieces[mask & (labels == meant)]).argmax())


def heaviest(labels: cv2.typing.MatLike) -> int:
    """The piece that weighs most toward the middle of the frame, of those numbered from 1; 0 is ground."""
    height, width = labels.shape
    y, x = np.mgrid[:height, :width]
    weights = np.exp(-8 * (((y - height / 2) / height) ** 2 + ((x - width / 2) / width) ** 2))
    return int(np.argmax(np.bincount(labels.ravel(), weights.ravel())[1:])) + 1


def _edge_of(mask: Mask) -> Mask:
    edge = np.zeros_like(mask)
    edge[[0, -1]] = True
    edge[:, [0, -1]] = True
    return edge
