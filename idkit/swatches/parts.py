"""The invented parts of the sample pictures, written down the way they are made, in millimetres."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from idkit.swatches import finishes
from idkit.swatches.relief import fractal, step
from idkit.swatches.shapes import (
    Field,
    Points,
    Vector,
    around,
    ball,
    cut,
    hexagon,
    joined,
    pitted,
    placed,
    ring,
    rod,
    rotation,
    single,
    slab,
    taper,
    threaded,
    turned,
)
from idkit.swatches.skins import Finish, Skin

LEVEL: Points = np.eye(3, dtype=np.float32)


@dataclass(frozen=True)
class Part:
    """A solid, the box that holds it, the mesh's step in mm, its finish, and how it lies."""

    solid: Field
    low: Vector
    high: Vector
    step: float
    finish: Finish
    pose: Points
    scratch: tuple[Vector, Vector] | None = None  # opposite corners of a bare patch


def tap() -> Part:
    """A bib tap: threaded tail, hexagon, round chamber, spout, bonnet, spindle and a T handle."""
    beyond = (slab((-12, -22, 0), (30, 60, 30), 0), slab((40, -52, 0), (60, 30, 30), 0))
    spout = cut(ring((18, -22, 0), (0, 0, 1), 22, 9.5), *beyond)
    body = joined(
        rod((-32, 0, 0), (0, 0, 0), 12.5), ball((0, 0, 0), 18.5), rod((5, 0, 0), (18.5, 0, 0), 9.5),
        spout, rod((40, -21, 0), (40, -34, 0), 9.5), rod((0, 10, 0), (0, 27, 0), 13.5), fillet=5,
    )  # fmt: skip
    fittings = joined(
        threaded((-60, 0, 0), (-40, 0, 0), 10.6, 2.0, 1.1), hexagon((-42, 0, 0), (-31, 0, 0), 28, (0, 0, 1)),
        rod((40, -33, 0), (40, -40, 0), 11.5, 1.5), hexagon((0, 26, 0), (0, 36, 0), 27, (0, 0, 1)),
        rod((0, 35, 0), (0, 43, 0), 8.5, 1.2), rod((0, 42, 0), (0, 62, 0), 4.5), rod((0, 56, 0), (0, 68, 0), 7, 2),
        taper((-23, 62, 0), (23, 62, 0), 4.2, 4.2), ball((-24, 62, 0), 6.2), ball((24, 62, 0), 6.2),
    )  # fmt: skip
    cast = pitted(body, fractal(1, 2.2, 2), 0.07)
    bores = (rod((-62, 0, 0), (-30, 0, 0), 7), rod((40, -42, 0), (40, -22, 0), 7.5))
    solid = cut(joined(cast, fittings, fillet=1.0), *bores)
    return Part(solid, (-63, -43, -22), (54, 72, 22), 0.42, finishes.old_brass(), rotation("y", -6) @ rotation("x", 10))


def hinge() -> Part:
    """A butt hinge, one leaf raised: five barrels on a pin, three countersunk holes a leaf."""
    barrels = joined(*(rod((x - 7.6, 0, 6), (x + 7.6, 0, 6), 6.2, 0.8) for x in np.arange(-32.0, 33, 16)))
    pin = joined(rod((-42, 0, 6), (42, 0, 6), 3.2), ball((-41.5, 0, 6), 4.4), ball((41.5, 0, 6), 4.4))
    lower = joined(leaf(1), fillet=0)
    raised = placed(placed(leaf(-1), LEVEL, (0, 0, -6)), rotation("x", -38), (0, 0, 6))
    solid = pitted(joined(joined(barrels, lower, raised, fillet=1.2), pin), fractal(2, 3, 3), 0.06)
    return Part(solid, (-48, -42, -2), (48, 44, 34), 0.34, finishes.blotched_zinc(), LEVEL)


def leaf(side: int) -> Field:
    """One leaf of the hinge, on the +y side for 1 and the other for -1, its knuckle gaps cut."""
    plate = slab((0, side * 20.5, 2.6), (40, 19, 2.6), 1.1)
    gaps = (-32.0, 0.0, 32.0) if side < 0 else (-16.0, 16.0)
    slots = [slab((x, 0, 4), (8.3, 8.5, 8), 0.3) for x in gaps]
    sinks = []
    for x, y in ((-27, 27), (0, 17), (27, 27)):
        cone = turned([(0, -6), (2.6, -6), (2.6, 2.2), (5.6, 5.4), (5.6, 9), (0, 9)], 0.0)
        sinks.append(placed(cone, LEVEL, (x, side * y, 0)))
    rim = slab((0, side * 20.5, 5.3), (36.5, 15.5, 0.5), 0.2)
    return cut(plate, *slots, *sinks, cut(slab((0, side * 20.5, 5.4), (38, 17, 0.5), 0.2), rim))


def pump_body() -> Part:
    """Half of a small pump: a hollow volute, open below, with a flanged outlet, an inlet boss, ribs and bolt ears."""
    shell = joined(volute, turned([(0, 3), (44, 3), (44, 24), (36, 31), (0, 31)], 2.0), fillet=4)
    outlet = joined(rod((49, 0, 16), (49, 62, 16), 15.5), slab((49, 64, 17), (24, 4, 17), 3), fillet=5)
    inlet = joined(rod((0, 0, 28), (0, 0, 50), 19), rod((0, 0, 46), (0, 0, 53), 27, 1.5), fillet=3)
    ribs = around(slab((30, 0, 33), (14, 1.7, 7), 1.0), 7)
    ears = around(joined(rod((61, 0, 0), (61, 0, 9), 8, 1.5), slab((52, 0, 4.5), (9, 8, 4.5), 1), fillet=3), 6)
    solid = joined(shell, outlet, inlet, ribs, ears, fillet=3.5)
    bolts = [around(rod((61, 0, -5), (61, 0, 15), 3.4), 6), around(rod((22, 0, 45), (22, 0, 60), 2.0), 4)]
    eyes = [rod((x, 50, 17), (x, 80, 17), 3.0) for x in (30.5, 67.5)]
    bores = [rod((0, 0, 8), (0, 0, 60), 13, 0), rod((49, 20, 16), (49, 80, 16), 11, 0)]
    inside = (rod((0, 0, -9), (0, 0, 28), 38), lambda p: single(volute(p) + 4.5))
    skin = pitted(cut(solid, *bolts, *eyes, *bores, *inside), fractal(3, 1.7, 2), 0.10)
    return Part(skin, (-72, -73, -2), (76, 70, 56), 0.55, finishes.plain_casting(), LEVEL)


def volute(p: Points) -> Points:
    """A spiral casing: a ring whose section grows once around."""
    turn = np.arctan2(-p[..., 1], -p[..., 0]) / single(2 * np.pi) + single(0.5)
    minor = 9 + 7 * turn
    radial = np.hypot(p[..., 0], p[..., 1]) - single(37) - minor * single(0.75)
    return single((np.hypot(radial, p[..., 2] - 16) - minor) * 0.9)


def elbow() -> Part:
    """A 22 mm copper bend with a socket at each end, a length of tube still in one of them."""
    corner = (slab((-50, 0, 0), (50, 90, 50), 0), slab((0, -50, 0), (90, 50, 50), 0))
    bend = cut(ring((0, 0, 0), (0, 0, 1), 27, 11.6), *corner)
    sockets = joined(rod((27.5, 1, 0), (27.5, -21, 0), 12.7, 0.6), rod((1, 27.5, 0), (-21, 27.5, 0), 12.7, 0.6))
    outer = joined(bend, sockets, fillet=2)
    outer = joined(outer, rod((-5, 27.5, 0), (-92, 27.5, 0), 11.2, 0.3), fillet=0.8)
    bore = joined(
        cut(ring((0, 0, 0), (0, 0, 1), 27.3, 10), *corner), rod((27.5, 2, 0), (27.5, -30, 0), 11.2, 0),
        rod((2, 27.5, 0), (-99, 27.5, 0), 9.9, 0),
    )  # fmt: skip
    return Part(cut(outer, bore), (-95, -24, -14), (42, 44, 14), 0.4, finishes.handled_copper(), LEVEL)


def cross_handle() -> Part:
    """A cross-head tap handle: bell-shaped hub, four arms with balls, a domed cap."""
    hub = turned([(0, 0), (15, 0), (16, 3), (14, 9), (10, 17), (9, 24), (11, 33), (10, 38), (0, 41)], 0.8)
    arms = around(joined(taper((8, 0, 28), (29, 0, 28), 4.6, 3.6), ball((32, 0, 28), 6.4), fillet=2.5), 4)
    cap = joined(rod((0, 0, 39), (0, 0, 44), 9.5, 1.2), cut(ball((0, 0, 35), 12), slab((0, 0, 20), (20, 20, 21), 0)))
    solid = cut(joined(joined(hub, arms, fillet=3), cap), rod((0, 0, -3), (0, 0, 22), 6))
    return Part(solid, (-41, -41, -3), (41, 41, 50), 0.34, finishes.bright_chrome(), LEVEL)


def gate_bolt() -> Part:
    """A tower bolt from a garden gate: plate with four holes, a round bolt through three straps, a knob."""
    plate = cut(
        slab((0, 0, 1.5), (62, 19, 1.5), 0.8),
        *(rod((x, y, -5), (x, y, 9), 2.8) for x in (-54, 54) for y in (-12.5, 12.5)),
        *(rod((x, y, -5), (x, y, 9), 2.2) for x in (-18, 20) for y in (-14.5, 14.5)),
    )
    straps = joined(*(strap(x) for x in (-46.0, 0.0, 46.0)))
    bolt = joined(rod((-50, 0, 9.2), (88, 0, 9.2), 5.6, 1.6), fillet=0)
    knob = joined(rod((-22, 0, 9), (-22, -12, 20), 3.6), ball((-22, -15, 22.5), 7.2), fillet=2)
    solid = pitted(joined(joined(plate, straps, fillet=0.8), joined(bolt, knob, fillet=1)), fractal(6, 2.4, 3), 0.16)
    return Part(solid, (-65, -26, -2), (92, 22, 32), 0.45, finishes.rusted_steel(), LEVEL)


def strap(x: float) -> Field:
    """One bent strap over the bolt, with its two feet."""
    arch = cut(rod((x - 5, 0, 9.2), (x + 5, 0, 9.2), 8.6, 0.5), slab((x, 0, -12), (20, 30, 14), 0))
    return joined(arch, slab((x, 0, 3.8), (5, 17.5, 1.2), 0.5), fillet=2)


def rail() -> Part:
    """A length of slotted aluminium rail, cut square."""

    def section(p: Points) -> Points:
        y, z = np.abs(p[..., 1]), np.abs(p[..., 2])
        y, z = np.maximum(y, z), np.minimum(y, z)
        neck = np.maximum(z - 4.1, 10 - y)
        room = np.maximum(np.maximum(np.maximum(z - 8.2, y - 13), 6.5 - y), (z - y + 3.0) * single(0.7))
        corner = np.hypot(np.maximum(y - 13.5, 0), np.maximum(z - 13.5, 0)) - 1.5
        shell = np.where((y > 13.5) & (z > 13.5), corner, y - 15)
        return single(np.maximum(np.maximum(shell, -np.minimum(neck, room)), 3.3 - np.hypot(y, z)))

    def solid(p: Points) -> Points:
        return single(np.maximum(section(p), np.abs(p[..., 0]) - 80))

    return Part(solid, (-82, -17, -17), (82, 17, 17), 0.36, finishes.die_lines(), LEVEL)


def cooker_knob() -> Part:
    """A black plastic knob: skirt, fluted grip, a pressed-in pointer line."""
    body = turned([(0, 0), (24, 0), (24, 3.5), (19, 6), (17.2, 24), (15.5, 26), (0, 26)], 0.8)
    flutes = around(rod((20.2, 0, 9), (18.6, 0, 40), 2.3, 0), 18)
    solid = cut(body, flutes, slab((11, 0, 27), (6.5, 0.9, 1), 0.2), rod((0, 0, -3), (0, 0, 14), 4))

    def pointer(s: Skin) -> Points:
        x, y, z = s.points.T
        return step(np.abs(y), 1.1, 0.8) * step(x, 4.2, 4.6) * step(x, 17.9, 17.5) * step(z, 25, 25.4)

    return Part(solid, (-27, -27, -3), (27, 27, 30), 0.25, finishes.black_plastic(pointer), LEVEL)


def angle_valve() -> Part:
    """A plated angle valve under a basin: round body, two nuts, a tail, a wing handle; filed on its top."""
    body = joined(ball((0, 0, 0), 17), rod((-26, 0, 0), (22, 0, 0), 12), rod((0, 0, 0), (0, 30, 0), 11), fillet=4)
    ends = joined(
        hexagon((-40, 0, 0), (-25, 0, 0), 30, (0, 0, 1)), threaded((-58, 0, 0), (-39, 0, 0), 10.3, 1.9, 1.0),
        hexagon((0, 28, 0), (0, 42, 0), 27, (0, 0, 1)), rod((0, 41, 0), (0, 56, 0), 7.6),
        rod((20, 0, 0), (30, 0, 0), 9.5, 1.2), rod((29, 0, 0), (38, 0, 0), 5),
    )  # fmt: skip
    handle = joined(slab((42, 0, 0), (4.2, 21, 7), 3.5), rod((36, 0, 0), (47, 0, 0), 8.5, 2), fillet=3)
    bores = (rod((-60, 0, 0), (-20, 0, 0), 7.2, 0), rod((0, 20, 0), (0, 58, 0), 5.6, 0))
    top = slab((-2, 0, 24.5), (17, 14, 10), 0.3)
    solid = cut(joined(body, ends, handle, fillet=0.8), *bores, top)

    def patch(s: Skin) -> Points:
        x, _, z = s.points.T
        return step(z, 13.2, 14.2) * step(s.normals[:, 2], 0.75, 0.93) * step(np.abs(x + 2), 16, 14)

    bare = ((-8.0, -5.0, 14.5), (4.0, 5.0, 14.5))
    finish = finishes.filed_plating(patch)
    return Part(solid, (-61, -24, -20), (50, 58, 20), 0.4, finish, rotation("y", 4), bare)


def hand_wheel() -> Part:
    """The cast-iron hand wheel of a garden sluice: rim, five spokes, a hub with a square hole."""
    rim = ring((0, 0, 10), (0, 0, 1), 60, 8)
    spokes = around(taper((14, 0, 12), (58, 0, 10), 7, 5), 5)
    hub = turned([(0, 0), (15, 0), (17, 4), (15, 24), (0, 24)], 1.5)
    solid = cut(joined(rim, spokes, hub, fillet=6), slab((0, 0, 10), (5.5, 5.5, 30), 0.3))
    return Part(
        pitted(solid, fractal(8, 2.4, 3), 0.28), (-71, -71, -4), (71, 71, 29), 0.5, finishes.sand_cast_iron(), LEVEL
    )


PARTS: dict[str, Callable[[], Part]] = {
    "tap": tap,
    "hinge": hinge,
    "pump-body": pump_body,
    "elbow": elbow,
    "cross-handle": cross_handle,
    "gate-bolt": gate_bolt,
    "rail": rail,
    "cooker-knob": cooker_knob,
    "angle-valve": angle_valve,
    "hand-wheel": hand_wheel,
}
