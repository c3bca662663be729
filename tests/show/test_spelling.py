"""US and UK words: turned whole, ids left alone."""

from __future__ import annotations

import pytest

from idkit import flows
from idkit.show import listings, spelling


@pytest.mark.parametrize(
    ("uk", "us"),
    [
        ("Grey aluminium casting", "Gray aluminum casting"),
        ("zinc die cast, pot metal", "zinc die cast, pot metal"),
        ("--scratch-colour grey-white", "--scratch-colour grey-white"),
        ("A calliper, the colour", "A caliper, the color"),
    ],
)
def test_whole_words_turn_and_names_stay(uk: str, us: str) -> None:
    assert list(spelling.spoken([("dim", uk)], "us")) == [("dim", us)]
    assert list(spelling.spoken([("dim", uk)], "uk")) == [("dim", uk)]


def test_no_british_spelling_is_left_in_the_names_of_materials() -> None:
    said = " ".join(line for _, line in spelling.spoken(listings.materials(), "us"))
    for material in flows.known_materials():
        assert "aluminium" not in dict(spelling.spoken([("", material.name)], "us"))[""]
    assert " aluminium " not in said
    assert " grey " not in said
