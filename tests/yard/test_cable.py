"""Cable: recovery against the geometry of standard cables, its error, and when to strip, worked out by hand."""

from __future__ import annotations

from decimal import Decimal
from math import pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from idkit import flows, yard
from idkit.errors import CallError
from idkit.vocabulary import Money, Price, PriceList, Weighed

COPPER = 8.89  # g/cm3, IEC 60028 (1925), annealed copper at 20 degrees C
PVC = 1.40  # g/cm3, flexible PVC for covering wire: 1.3 to 1.5, from memory
NYLON = 1.13  # g/cm3, from memory
INCH = 25.4  # mm, exact


def ring(inner: float, wall: float) -> float:
    """Area in mm2 of a covering around a round conductor."""
    return pi / 4 * ((inner + 2 * wall) ** 2 - inner**2)


def building_wire() -> tuple[float, float]:
    """g a metre of copper and of covering of single-core 1.5 mm2 wire.

    Conductor of nominal 1.5 mm2 (IEC 60228, class 1), wall of PVC 0.7 mm (EN 50525-2-31, from memory). By hand: copper
    1.5 x 8.89 = 13.34 g; 1.382 mm across, so PVC pi / 4 x (2.782^2 - 1.382^2) = 4.578 mm2 x 1.40 = 6.41 g: 67.5 %.
    """
    return 1.5 * COPPER, ring((4 * 1.5 / pi) ** 0.5, 0.7) * PVC


def gauge_12() -> tuple[float, float]:
    """The same of solid 12 AWG wire: 0.005 in x 92^((36 - 12) / 39) across (ASTM B258).

    Wall of PVC 0.015 in and nylon 0.004 in around it (UL 83, from memory). By hand: copper 3.309 mm2 x 8.89 = 29.42 g,
    19.77 lb a thousand feet as tables of wire have it (from memory); PVC 2.913 mm2 x 1.40 = 4.08 g; nylon 0.930 mm2 x
    1.13 = 1.05 g: 29.42 / 34.55 = 85.2 %.
    """
    across = 0.005 * INCH * 92 ** ((36 - 12) / 39)
    assert across == pytest.approx(0.0808 * INCH, rel=1e-3)  # ASTM B258, table
    wall, skin = 0.015 * INCH, 0.004 * INCH
    covering = ring(across, wall) * PVC + ring(across + 2 * wall, skin) * NYLON
    copper = pi / 4 * across**2 * COPPER
    assert copper * 304.8 / 453.59237 == pytest.approx(19.77, rel=1e-3)
    return copper, covering


@pytest.mark.parametrize(("cable", "expected"), [(building_wire, 0.675), (gauge_12, 0.852)])
@pytest.mark.parametrize(("metres", "step"), [(0.3, 0.1), (0.3, 1.0), (3, 1.0), (10, 5.0)])
def test_recovery_is_that_of_the_geometry(cable: object, expected: float, metres: float, step: float) -> None:
    """A piece of a standard cable on a scale that rounds: what areas and densities give lies within what is said."""
    copper, covering = cable()  # type: ignore[operator]
    true = copper / (copper + covering)
    assert true == pytest.approx(expected, abs=0.001)

    def scale(grams: float) -> Weighed:
        shown = Decimal(str(step)) * round(grams / step)
        return Weighed(shown / 1000, Decimal(str(step)) / 1000, f"{shown} g")

    found = yard.recovery(yard.Sample(scale(metres * (copper + covering)), scale(metres * copper)))
    assert found.low <= Decimal(true) <= found.high


GRAMS = st.integers(2, 5000)


@given(GRAMS, st.floats(0.05, 0.95), st.sampled_from([1, 2, 5]), st.floats(-0.5, 0.5), st.floats(-0.5, 0.5))
def test_the_truth_lies_between_the_ends(whole: int, share: float, step: int, one: float, other: float) -> None:
    """Whatever the scale rounds away, up or down."""
    total, bare = whole * step, round(share * whole) * step
    if not 0 < bare < total:
        return
    kg = Decimal(step) / 1000
    found = yard.recovery(yard.Sample(Weighed(total * kg / step, kg, ""), Weighed(bare * kg / step, kg, "")))
    true = (bare + one * step) / (total + other * step)
    assert float(found.low) - 1e-12 <= true
    assert true <= float(found.high) + 1e-12 or found.high == 1
    assert found.low <= found.share <= found.high


def grams(whole: str, bare: str) -> yard.Sample:
    return yard.Sample(yard.weight(whole, "--whole"), yard.weight(bare, "--bare"))


def test_strip_more_until_the_scale_can_tell() -> None:
    # 42 g and 27 g to 1 g: from 26 / 43 = 60.5 % to 28 / 41 = 68.3 %: not within two points of 64.3 %.
    # Twice as much: 53 / 85 = 62.4 % to 55 / 83 = 66.3 %: within 2.0 points.
    short = grams("42 g", "27 g")
    found = yard.recovery(short)
    assert [round(float(each), 3) for each in (found.low, found.share, found.high)] == [0.605, 0.643, 0.683]
    assert yard.times_as_much(short, None) == 2
    assert yard.tells(yard.recovery(grams("84 g", "54 g")), None)
    assert yard.times_as_much(grams("84 g", "54 g"), None) == 1
    # Where prices decide at 30 %, the short piece tells; at 65 % it does not, and at 64.3 % no piece would.
    assert yard.times_as_much(short, Decimal("0.30")) == 1
    assert (yard.times_as_much(short, Decimal("0.65")) or 0) > 3
    assert yard.times_as_much(short, Decimal(27) / 42) is None


@given(st.integers(10, 400), st.floats(0.1, 0.9), st.none() | st.floats(0.1, 0.9))
def test_so_many_times_tells_and_fewer_does_not(whole: int, share: float, even: float | None) -> None:
    bare = min(max(1, round(whole * share)), whole - 1)
    sample, at = grams(f"{whole} g", f"{bare} g"), None if even is None else Decimal(even)
    times = yard.times_as_much(sample, at)
    for each in (1, 2, 3, 5, 10, 20, 50):
        told = yard.tells(yard.recovery(grams(f"{each * whole} g", f"{each * bare} g")), at)
        assert told == (times is not None and each >= times)


KG = yard.UNITS["kg"]
PRICES = PriceList("list", "EUR", (  # invented
    Price(2, "insulated-cable", "", Decimal("2.10"), Decimal("2.10"), KG, fee=Decimal(3)),
    Price(3, "copper", "clean", Decimal("6.80"), Decimal("7.20"), KG),
))  # fmt: skip
HOLDS = flows.InUse(prices=PRICES)


def test_a_coil_by_hand() -> None:
    """A sample of 200 g with 120 g of copper took 3 minutes: 60 %, 15 minutes a kg. Of 10 kg:

    as it is 10 x 2.10 = 21.00; stripped 6.0 kg x 7.00 = 42.00 in the middle, 21.00 more for 150 minutes: 8.40 an hour.
    By the steps 119 / 201 to 121 / 199, so 10 x 0.59204 x 6.80 = 40.26 to 10 x 0.60804 x 7.20 = 43.78.
    Time for nothing, both are the same at 2.10 / 7.00 = 30 %; at 7 an hour at (21.00 + 17.50) / 70 = 55 %.
    """
    coil = flows.Coil("10 kg")
    found = flows.wire("200 g", "120 g", "80 g", coil, "3", "", HOLDS)
    told = found.stripping
    assert told is not None
    assert told.as_is == Money(Decimal("21.00"), Decimal("21.00"), "EUR")
    assert [round(each, 2) for each in (told.stripped.low, told.stripped.high)] == [Decimal("40.26"), Decimal("43.78")]
    assert (told.more, told.minutes, told.an_hour, told.even) == (21, 150, Decimal("8.4"), Decimal("0.3"))
    assert found.times == 1
    worth = flows.wire("200 g", "120 g", "", coil, "3", "7", HOLDS).stripping
    assert worth is not None
    assert worth.even == Decimal("0.55")
    # At 9 an hour even is (21 + 22.5) / 70 = 62.1 %: above 60.8 %, so leave the covering on.
    dear = flows.wire("200 g", "120 g", "", coil, "3", "9", HOLDS)
    assert dear.stripping is not None
    assert dear.stripping.even > dear.recovery.high
    # At 8.40 an hour it is the same: nothing that anybody would strip tells.
    assert flows.wire("200 g", "120 g", "", coil, "3", "8.40", HOLDS).times is None


@given(st.integers(1, 500), st.integers(1, 9))
def test_value_is_linear_in_price_and_weight(kg: int, factor: int) -> None:
    def at(weight: int, times: int) -> Decimal:
        dearer = PriceList("list", "EUR", tuple(
            Price(p.row, p.category, p.state, p.low * times, p.high * times, KG) for p in PRICES.prices
        ))  # fmt: skip
        told = flows.wire("200 g", "120 g", "", flows.Coil(f"{weight} kg"), holds=flows.InUse(prices=dearer)).stripping
        assert told is not None
        return told.more

    assert at(kg * factor, 1) == at(kg, factor) == at(kg, 1) * factor


def test_the_coil_may_be_a_pile_and_burning_is_always_warned_of() -> None:
    flows.new_pile("cable", "insulated cable")
    flows.add_to_pile("cable", "", "cords", None, "10 kg")
    found = flows.wire("200 g", "120 g", "", flows.Coil(pile="Cable"), holds=HOLDS)
    assert found.stripping is not None
    assert found.stripping.kg == 10
    assert found.caution.id == "burning-insulation"
    assert found.caution.source


@pytest.mark.parametrize(
    ("whole", "bare", "covering", "words"),
    [
        ("212 g", "127 g", "60 g", "--covering: the parts weigh 0.025 kg less than the whole 212 g"),
        ("212 g", "327 g", "", "--bare: got 327 g; right is less than --whole, 212 g"),
        ("212 g", "0 g", "", "--bare: got nothing"),
        ("0 g", "0 g", "", "--whole: got nothing"),
        ("212", "127 g", "", "--whole: got '212'"),
    ],
)
def test_a_sample_that_can_not_be_is_one_line(whole: str, bare: str, covering: str, words: str) -> None:
    with pytest.raises(CallError, match=words) as told:
        flows.wire(whole, bare, covering, flows.Coil())
    assert "\n" not in str(told.value)
