"""A load list as one page that prints: for the seat beside the driver, and for the yard's counter."""

from __future__ import annotations

from pathlib import Path

from idkit import flows
from idkit.flows import LoadShown
from idkit.show import loaded
from idkit.show.weights import weight

FOLDER = Path(__file__).parent / "pages"


def page(found: LoadShown) -> str:
    """The page; it needs nothing else, and no script."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    env = Environment(loader=FileSystemLoader(FOLDER), autoescape=True, undefined=StrictUndefined, trim_blocks=True)
    at, valued = found.holds.yard, found.valued
    pays = flows.to_pay(valued)
    span, expected = map(flows.money_said, pays) if pays else ("", "")
    return env.get_template("load.html").render(
        load=valued.load,
        valued=valued,
        expected=expected,
        span=span,
        groups=[_shown(group, at) for group in valued.groups],
        questions=found.questions,
        cautions=[
            *(f"{each.message} {each.who}" for each in found.dangers),
            *(each.message for each in found.cautions),
        ],
        since=found.since,
        without=", ".join(loaded.without_price(found)),
        whose=f" of {found.holds.yard.name}" if found.holds.yard.name else "",
        doubts=found.holds.doubts,
        prices=found.holds.prices.name if found.holds.prices else "",
        kilos=weight(valued.kg),
        over=weight(valued.over) if valued.over and valued.over > 0 else "",
        room=weight(-valued.over) if valued.over is not None and valued.over <= 0 else "",
        metal=weight(found.metal),
    )


def _shown(group: flows.LoadGroup, at: flows.YardSaid) -> dict[str, object]:
    """One category as the page shows it."""
    return {
        "name": flows.named_at(group.category, at),
        "state": group.state or "clean or dirty?",
        "kg": weight(group.kg) if group.kg is not None else "",
        "pieces": group.pieces if group.kg is None else None,
        "money": flows.money_said(group.money) if group.money else group.fetched.why,
        "surely": f"{10 * group.right:.0f} in 10 surely" if group.right < 1 else "",
        "lines": [(line.number, loaded.within(line)) for line in group.lines],
    }
