"""The table of bare colours is what colour-science makes of the optical constants, and what the design says."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from idkit.facts import colours, optics
from idkit.facts.colours import read_colours
from idkit.swatches import bare_colours

pytest.importorskip("colour")
pytestmark = pytest.mark.filterwarnings("ignore:Aligning")  # colour-science tells that it interpolates D65

# C*ab and hue of bare metals, normal incidence, CIE 1931 2 degrees, D65: figures of the project's design, computed
# there from Johnson and Christy 1972 and 1974 and Querry 1985. With which tools is not said, so this guards against
# change and is no independent check.
DESIGNED = {
    "copper-johnson": (17.6, 48),
    "copper-querry": (23.0, 56),
    "cu90-zn10": (23.4, 77),
    "cu85-zn15": (26.1, 86),
    "cu70-zn30": (28.7, 95),
    "nickel": (6.8, 84),
}


def test_the_table_is_what_its_chore_makes() -> None:
    made = {row["id"]: [float(row[name]) for name in ("lightness", "a", "b")] for row in bare_colours.rows(optics())}
    kept = {name: [bare.lightness, bare.a, bare.b] for name, bare in colours().items()}
    assert made.keys() == kept.keys() == optics().keys()
    for name, lab in made.items():
        assert lab == pytest.approx(kept[name], abs=0.011)


def test_written_and_read_again(tmp_path: Path) -> None:
    path = tmp_path / "colours.csv"
    bare_colours.write(path, optics())
    assert read_colours(path) == colours()


@pytest.mark.parametrize(("name", "designed"), DESIGNED.items())
def test_chroma_and_hue(name: str, designed: tuple[float, float]) -> None:
    bare = colours()[name]
    assert np.hypot(bare.a, bare.b) == pytest.approx(designed[0], abs=0.15)
    assert np.degrees(np.arctan2(bare.b, bare.a)) == pytest.approx(designed[1], abs=1)


@pytest.mark.parametrize("name", ["iron", "chromium", "zinc", "aluminium"])
def test_grey_metals_have_no_hue(name: str) -> None:
    bare = colours()[name]
    assert np.hypot(bare.a, bare.b) < 2
