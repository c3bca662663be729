"""Haralick, Shanmugam and Dinstein 1973: co-occurrence matrices and the cues on them, by hand counts."""

from __future__ import annotations

import numpy as np
import pytest
from skimage.feature import graycomatrix, graycoprops

from idkit.see.cues import texture
from idkit.vocabulary import Patch, White

PICTURE = np.array([[0, 0, 1, 1], [0, 0, 1, 1], [0, 2, 2, 2], [2, 2, 3, 3]], np.uint8)
# Rows count downward in scikit-image, so its angles turn the other way than those of the paper.
ANGLES = {0: 0.0, 45: 3 * np.pi / 4, 90: np.pi / 2, 135: np.pi / 4}
WHITE = White("paper", 0.0, 0.0, 0.0, np.array([[0.0, 0.0, 1.0]]), 1.0)


def matrix(rows: list[dict[str, float]], angle: int) -> np.ndarray:
    return np.array([[row[f"with{level}"] for level in range(4)] for row in rows if row["angle"] == angle])


@pytest.mark.parametrize("angle", ANGLES)
def test_matrices_are_those_of_figure_3(published, angle: int) -> None:
    found = graycomatrix(PICTURE, [1], [ANGLES[angle]], levels=4, symmetric=True)[:, :, 0, 0]
    assert found.tolist() == matrix(published("co-occurrence.csv"), angle).tolist()


@pytest.mark.parametrize(("angle", "down", "right"), [(0, 0, 1), (45, -1, 1), (90, 1, 0), (135, 1, 1)])
def test_the_table_counts_neighbours(published, angle: int, down: int, right: int) -> None:
    counts = np.zeros((4, 4), int)
    for row, column in np.ndindex(4, 4):
        if 0 <= row + down < 4 and 0 <= column + right < 4:
            pair = PICTURE[row, column], PICTURE[row + down, column + right]
            counts[pair] += 1
            counts[pair[::-1]] += 1
    assert counts.tolist() == matrix(published("co-occurrence.csv"), angle).tolist()


def test_contrast_and_homogeneity_by_hand() -> None:
    """Along rows 24 neighbours: 4 differ by 1 as 0 and 1, 2 by 2 as 0 and 2, 2 by 1 as 2 and 3, 16 not at all."""
    counts = graycomatrix(PICTURE, [1], [0], levels=4, symmetric=True)
    assert graycoprops(counts, "contrast")[0, 0] == pytest.approx((4 * 1 + 2 * 4 + 2 * 1) / 24)
    assert graycoprops(counts, "homogeneity")[0, 0] == pytest.approx((16 + 6 / 2 + 2 / 5) / 24)


def painted(light: np.ndarray) -> Patch:
    """A tile of that luminance, of 100 x 100 pixels, as a part 100 pixels across shows it."""
    return Patch(np.empty((0, 3)), WHITE, light.astype(np.float32), np.empty((0, 0, 3), np.float32), 1.0, 1.0)


COLUMN, ROW = np.meshgrid(np.arange(100), np.arange(100))
STEP = 0.5, 1.5  # of the median luminance: grey levels 4 and 12 of 32, 8 apart


@pytest.mark.parametrize(
    ("where", "contrast", "correlation", "homogeneity"),
    [
        # the four directions: along rows, one diagonal, along columns, the other diagonal
        pytest.param(COLUMN % 2, (64 + 64 + 0 + 64) / 4, (-1 - 1 + 1 - 1) / 4, (3 / 65 + 1) / 4, id="stripes"),
        pytest.param((ROW + COLUMN) % 2, (64 + 0 + 64 + 0) / 4, (-1 + 1 - 1 + 1) / 4, (2 / 65 + 2) / 4, id="chequers"),
        pytest.param(COLUMN * 0, 0, 1, 1, id="even"),
    ],
)
def test_cues_on_a_known_structure(where: np.ndarray, contrast: float, correlation: float, homogeneity: float) -> None:
    patch = painted(np.where(where, *STEP))
    assert texture.co_occurrence_contrast(patch).value == pytest.approx(contrast)
    assert texture.co_occurrence_correlation(patch).value == pytest.approx(correlation, abs=1e-3)
    assert texture.co_occurrence_homogeneity(patch).value == pytest.approx(homogeneity)


def test_what_is_outside_the_part_is_not_counted() -> None:
    light = np.where(COLUMN % 2, *STEP)
    light[:, 60:] = np.nan
    assert texture.co_occurrence_contrast(painted(light)).value == pytest.approx(48)
