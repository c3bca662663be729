"""Two readings of one photo, weighed."""

from __future__ import annotations

import numpy as np
import pytest

from idkit.decide.mixture import mixed
from idkit.vocabulary import PhotoEvidence

BARE = PhotoEvidence(
    {"copper": np.log(8.0), "lead": np.log(0.5)}, {"copper-red": 0.9, "grey-white": 0.1}, False, True, True
)
SKIN = PhotoEvidence(
    {"copper": np.log(0.2), "lead": np.log(2.0)}, {"copper-red": 0.1, "grey-white": 0.9}, True, True, False
)


def test_photo_and_families_are_weighed_means() -> None:
    """By hand: 0.75 x 8 + 0.25 x 0.2 = 6.05 and 0.75 x 0.5 + 0.25 x 2 = 0.875."""
    found = mixed(0.75, BARE, SKIN)
    assert np.exp(found.log_photo["copper"]) == pytest.approx(6.05)
    assert np.exp(found.log_photo["lead"]) == pytest.approx(0.875)
    assert found.families == pytest.approx({"copper-red": 0.7, "grey-white": 0.3})


@pytest.mark.parametrize(("share", "same"), [(0.0, SKIN), (1.0, BARE)])
def test_at_the_ends_it_is_one_of_them(share: float, same: PhotoEvidence) -> None:
    found = mixed(share, BARE, SKIN)
    assert found.log_photo == pytest.approx(same.log_photo)
    assert found.families == pytest.approx(same.families)
    assert found.unlike == same.unlike
