"""What the sample pictures show: the table that stands beside them, so that an answer can be held against the truth.

Weights follow from the volume of the very mesh that is drawn and the density of its metal; the buoyancy is that of the
same volume in water at 20 °C. The parts are solid, with no closed hollow.
"""

from __future__ import annotations

from dataclasses import dataclass

WATER = 0.9982  # g/cm³ at 20 °C; CRC Handbook of Chemistry and Physics, density of water
NOTE = "rendered with Mitsuba 3 from published optical constants; not a photograph"
COLUMNS = (
    "file", "part", "material", "form", "thickness_mm", "magnet", "surface", "scratch", "weight_g", "jar_g", "attached",
    "came_out_of", "notes",
)  # fmt: skip


@dataclass(frozen=True)
class Truth:
    """One part. `density` is in g/cm³, `thickness` in mm where it would be measured: at a wall, a leaf, a rim."""

    part: str
    material: str
    form: str
    density: float
    thickness: float
    magnet: str
    came_out_of: str
    surface: str = "as-found"
    attached: str = ""


TRUTHS = {
    "tap": Truth("garden tap with a T handle", "yellow-brass", "fitting", 8.47, 3.5, "none", "a greenhouse"),
    "hinge": Truth("door hinge", "zinc-die-cast", "casting", 6.6, 5.2, "none", "a wardrobe door"),
    "pump-body": Truth("pump body", "aluminium-cast", "casting", 2.71, 4.5, "none", "a pond pump"),
    "elbow": Truth("pipe bend with a length of tube", "copper", "fitting", 8.93, 1.3, "none", "a bathroom"),
    "cross-handle": Truth("cross handle of a tap", "chromed-zinc", "casting", 6.6, 3.8, "none", "a bathroom basin"),
    "gate-bolt": Truth("bolt of a gate", "carbon-steel", "sheet", 7.85, 3.0, "strong", "a garden gate"),
    "rail": Truth("slotted rail of a lamp", "aluminium-wrought", "extrusion", 2.7, 2.0, "none", "a workshop lamp"),
    "cooker-knob": Truth("knob of a cooker", "plastic", "unknown", 1.05, 3.5, "none", "a kitchen cooker"),
    "angle-valve": Truth(
        "angle valve, filed on top", "chromed-brass", "fitting", 8.45, 4.0, "none", "under a wash basin", "scratched"
    ),
    "hand-wheel": Truth("hand wheel of a sluice", "cast-iron", "casting", 7.2, 16.0, "strong", "a garden pond"),
}


def row(name: str, volume: float, scratch: tuple[int, int, int, int] | None) -> dict[str, str]:
    """One row of index.csv; `volume` in cm³.

    >>> row("hinge", 30.0, None)["weight_g"], row("hinge", 30.0, None)["jar_g"]
    ('198', '29.9')
    """
    truth = TRUTHS[name]
    values = (
        f"{name}.jpg", truth.part, truth.material, truth.form, f"{truth.thickness:g}", truth.magnet, truth.surface,
        ",".join(map(str, scratch)) if scratch else "", f"{volume * truth.density:.0f}", f"{volume * WATER:.1f}",
        truth.attached, truth.came_out_of, NOTE,
    )  # fmt: skip
    return dict(zip(COLUMNS, values, strict=True))
