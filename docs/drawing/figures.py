"""Which picture of docs/cues.md shows what, on which sample parts."""

from __future__ import annotations

from dataclasses import dataclass

from drawing import paintings
from drawing.brushes import ALARM, COOL, GREEN, MAGENTA, PALE, RUST, WARM, Colour
from drawing.paintings import Painter


@dataclass(frozen=True)
class Row:
    """One quantity over all parts. `key` says what its colours mean; `scale` names both ends where they run."""

    title: str
    paint: Painter | None  # None: the photo itself
    cues: tuple[str, ...] = ()
    key: tuple[tuple[Colour, str], ...] = ()
    scale: tuple[str, str] | None = None
    two_ways: bool = False


@dataclass(frozen=True)
class Figure:
    """A strip of sample parts, one below the other what is seen in them."""

    name: str
    parts: tuple[str, ...]
    rows: tuple[Row, ...]


PHOTO = Row("photo", None)
FIGURES = (
    Figure(
        "colour",
        ("elbow", "tap", "hinge", "gate-bolt", "cooker-knob"),
        (
            PHOTO,
            Row(
                "colour against white, at one lightness, 1.6 times as strong",
                paintings.hues,
                ("redness", "yellowness", "hue", "chroma"),
            ),
        ),
    ),
    Figure(
        "metals",
        ("elbow", "tap", "hinge", "gate-bolt", "cooker-knob"),
        (
            PHOTO,
            Row("how near to polished copper", paintings.from_copper, ("from_copper",), scale=("30 away", "the same")),
            Row("to polished brass", paintings.from_brass, ("from_brass",), scale=("30 away", "the same")),
            Row("to polished aluminium", paintings.from_aluminium, ("from_aluminium",), scale=("30 away", "the same")),
        ),
    ),
    Figure(
        "evenness",
        ("pump-body", "hinge", "elbow", "tap", "gate-bolt"),
        (
            PHOTO,
            Row(
                "blue against green, from the part's own middle",
                paintings.unevenness,
                ("evenness", "lightness"),
                scale=("-0.6", "+0.6"),
                two_ways=True,
            ),
        ),
    ),
    Figure(
        "shine",
        ("elbow", "tap", "gate-bolt", "cooker-knob", "hinge"),
        (
            PHOTO,
            Row(
                "light and dark ends",
                paintings.ends,
                ("highlight_paleness", "shadow_depth", "contrast"),
                ((WARM, "lightest tenth"), (COOL, "darkest fifth"), (ALARM, "clipped or deep shadow: not judged")),
            ),
        ),
    ),
    Figure(
        "edges",
        ("pump-body", "elbow", "tap", "gate-bolt"),
        (
            PHOTO,
            Row("steps of light", paintings.light_edges, ("light_edges",), scale=("0", "0.9 in ln")),
            Row("steps of colour", paintings.colour_edges, ("colour_edges",), scale=("0", "0.9 in ln")),
            Row(
                "steps of both, each against its own mean",
                paintings.edges_together,
                ("edges_together",),
                scale=("one without the other", "together"),
                two_ways=True,
            ),
        ),
    ),
    Figure(
        "shading",
        ("rail", "elbow", "gate-bolt", "hinge", "cross-handle"),
        (
            PHOTO,
            Row("light, in logarithms", paintings.shading, scale=("dark", "light")),
            Row("what a smooth surface makes of it", paintings.smooth, ("smooth_shading",), scale=("dark", "light")),
        ),
    ),
    Figure(
        "marks",
        ("tap", "cross-handle", "cooker-knob", "pump-body", "gate-bolt"),
        (
            PHOTO,
            Row(
                "glints and hollows",
                paintings.marks,
                ("glints", "hollows", "glare"),
                ((WARM, "lightest fiftieth"), (COOL, "darkest twentieth"), (ALARM, "clipped")),
            ),
            Row("colours that no bare metal has", paintings.no_metal, ("no_metal_colour",), ((MAGENTA, "no metal's"),)),
        ),
    ),
    Figure(
        "co-occurrence",
        ("pump-body", "hinge", "cross-handle", "rail", "gate-bolt"),
        (
            PHOTO,
            Row("light in 32 levels", paintings.levels, scale=("level 0", "level 31")),
            Row(
                "level, downward, by level of the neighbour, across: how often",
                paintings.matrix,
                ("co_occurrence_contrast", "co_occurrence_correlation", "co_occurrence_homogeneity"),
                scale=("never", "often"),
            ),
        ),
    ),
    Figure(
        "texture",
        ("pump-body", "hinge", "hand-wheel", "rail", "cooker-knob"),
        (
            PHOTO,
            Row("patterns that are not uniform", paintings.rough, ("rough_patterns",), ((MAGENTA, "not uniform"),)),
            Row(
                "the octave of the strongest blotches",
                paintings.mottle,
                ("mottle_contrast", "mottle_scale"),
                scale=("+0.4 lighter", "-0.4 darker"),
                two_ways=True,
            ),
        ),
    ),
    Figure(
        "lines",
        ("rail", "cooker-knob", "elbow", "hand-wheel", "hinge"),
        (
            PHOTO,
            Row(
                "fine detail and the way it runs",
                paintings.lines,
                ("line_direction",),
                ((MAGENTA, "longer where more of it runs one way"),),
            ),
        ),
    ),
    Figure(
        "corrosion",
        ("gate-bolt", "hand-wheel", "elbow", "hinge", "angle-valve"),
        (
            PHOTO,
            Row(
                "what looks like growth",
                paintings.grown,
                ("rust_area", "patina_area", "bloom_area"),
                ((RUST, "rust"), (GREEN, "patina"), (PALE, "bloom")),
            ),
        ),
    ),
)
