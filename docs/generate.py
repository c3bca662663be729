"""The lists in the documentation, made from what the program knows: python docs/generate.py [--check]

Between `<!-- list: NAME -->` and `<!-- end -->` in docs/*.md stands what the function of that name gives.
With --check nothing is written, and the exit status is 1 where a list is out of date. Either way it is 1 where the
headings of docs/cues.md do not name every cue once.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import typer

from idkit import ask, facts, see
from idkit.show import cli, listings

FOLDER = Path(__file__).resolve().parent
LIST = re.compile(r"(<!-- list: (\w+) -->\n).*?(<!-- end -->)", re.DOTALL)


def cues() -> Iterator[str]:
    """Every cue: what it sees, unit, range, source, and whether the classifier judges it."""
    yield "| cue | sees | unit | range | source | judged |"
    yield "|---|---|---|---|---|---|"
    for cue in see.CUES:
        judged = "yes" if cue.judged else "no"
        yield f"| `{cue.name}` | {cue.sees} | {cue.unit} | {cue.low:g} to {cue.high:g} | {cue.source} | {judged} |"


def faults() -> Iterator[str]:
    """Every fault of a photo: what is said, and how much less the photo then says."""
    yield "| fault | what is said | says less by | colour touched | source |"
    yield "|---|---|---|---|---|"
    for fault in see.FAULTS:
        colour = "yes" if fault.colour else "no"
        yield f"| `{fault.name}` | {fault.message} | up to {fault.doubt:g} | {colour} | {fault.source} |"


def checks() -> Iterator[str]:
    """Every check: question, effort, limits, look-alikes it can't split, source."""
    yield "| check | question | minutes | slips in 100 | does to the part | limits | can't split | source |"
    yield "|---|---|---|---|---|---|---|---|"
    for check in ask.checks().values():
        minutes = f"{check.minutes:g}" if check.asked else "noted only"
        tool = f" (needs a {check.tool})" if check.tool else ""
        source = f"{check.source} [{check.trust}]"
        pairs = listings.pairs_named(ask.cannot_split(check))
        slip, acts = f"{100 * check.slip:.2g}" if check.asked else "", ", ".join(check.acts)
        told = f"`{check.name}` | {check.question}{tool} | {minutes} | {slip} | {acts} | {check.limits} | {pairs}"
        yield f"| {told} | {pairs} | {source} |"


def materials() -> Iterator[str]:
    """Every material: density, bare colour, source."""
    yield "| material | in words | density, g/cm³ | colour of a scratch | look-alikes | trust |"
    yield "|---|---|---|---|---|---|"
    for each in facts.materials().values():
        density = f"{each.density_low / 1e3:.2f} to {each.density_high / 1e3:.2f}"
        alike = ", ".join(each.look_alikes)
        yield f"| `{each.id}` | {each.name} | {density} | {each.family} | {alike} | {each.trust} |"


def categories() -> Iterator[str]:
    """Every pile: what belongs, what makes it cheaper."""
    yield "| pile | in words | also | goes to | belongs | downgraded by | limits | source |"
    yield "|---|---|---|---|---|---|---|---|"
    for each in facts.categories().values():
        cells = (
            each.name,
            each.also,
            each.buyer,
            each.belongs,
            each.downgrades,
            each.limits,
            f"{each.source} [{each.trust}]",
        )
        yield f"| `{each.id}` | {' | '.join(cells)} |"


def origins() -> Iterator[str]:
    """Every origin: the words it is met by, and what it is mostly made of, the commonest first."""
    yield "| origin | object | and part | mostly | trust |"
    yield "|---|---|---|---|---|"
    for each in facts.origins().values():
        mostly = ", ".join(sorted(each.likely, key=each.likely.__getitem__, reverse=True)[:4])
        yield f"| `{each.id}` | {', '.join(each.objects)} | {', '.join(each.parts)} | {mostly} | {each.trust} |"


def marks() -> Iterator[str]:
    """Every way of marking: what it means, the materials it names, where it is laid down."""
    yield "| mark | means | names | laid down in | trust |"
    yield "|---|---|---|---|---|"
    for each in facts.marks().values():
        names = ", ".join(each.materials)
        yield f"| `{each.id}` | {each.means} | {names} | {each.standard} | {each.trust} |"


def dangers() -> Iterator[str]:
    """Every danger: what brings it, what it forbids, who takes the thing."""
    yield "| danger | brought by | not by | lifted by | forbids | who takes it | source |"
    yield "|---|---|---|---|---|---|---|"
    for each in facts.dangers().values():
        brought = ", ".join((*each.words, *(f"form {form}" for form in each.forms)))
        not_by = ", ".join(each.called)
        cells = (each.message, brought, not_by, ", ".join(each.unless), ", ".join(each.forbids), each.who)
        yield f"| {' | '.join(cells)} | {each.source} [{each.trust}] |"


def commands() -> Iterator[str]:
    """Every command with its arguments and options."""
    for name, command in _every_command():
        yield f"### idkit {name}"
        yield ""
        yield " ".join(command.help.split())
        yield ""
        if command.params:
            yield "| say | for |"
            yield "|---|---|"
        for parameter in command.params:
            said = ", ".join(f"`{option}`" for option in parameter.opts)
            yield f"| {said} | {getattr(parameter, 'help', '')} |"
        yield ""


def _every_command() -> Iterator[tuple[str, Any]]:
    """Every command by its whole name, those of a group after one another."""
    for name, command in typer.main.get_command(cli.app).commands.items():  # type: ignore[attr-defined]
        group = getattr(command, "commands", None)
        yield from ((f"{name} {inner}", each) for inner, each in group.items()) if group else ((name, command),)


LISTS: dict[str, Callable[[], Iterator[str]]] = {
    "cues": cues,
    "faults": faults,
    "checks": checks,
    "materials": materials,
    "categories": categories,
    "origins": origins,
    "marks": marks,
    "dangers": dangers,
    "commands": commands,
}


def renewed(text: str) -> str:
    """The text with every list made anew."""
    return LIST.sub(lambda found: found[1] + "\n".join(LISTS[found[2]]()) + "\n" + found[3], text)


def without_section(text: str) -> list[str]:
    """What is wrong with the headings of cues.md: cues that none names, names that are no cue or stand twice."""
    named = re.findall(r"`(\w+)`", " ".join(re.findall(r"^#+ (.*)$", text, re.MULTILINE)))
    names = [cue.name for cue in see.CUES]
    missing = [f"no section on `{name}`" for name in names if name not in named]
    unknown = [f"`{name}` is no cue" for name in dict.fromkeys(named) if name not in names]
    return missing + unknown + [f"`{name}` has two sections" for name in names if named.count(name) > 1]


def main(arguments: list[str]) -> int:
    """Renew the lists, or say which are out of date; and say which cues have no section."""
    stale = []
    faults = without_section((FOLDER / "cues.md").read_text("utf-8"))
    for fault in faults:
        sys.stderr.write(f"cues.md: {fault}: write one heading for each cue, its name in backticks\n")
    for path in sorted(FOLDER.glob("*.md")):
        text = path.read_text("utf-8")
        new = renewed(text)
        if new != text:
            stale.append(path.name)
            if "--check" not in arguments:
                path.write_text(new, "utf-8")
    if stale and "--check" in arguments:
        sys.stderr.write(f"out of date: {', '.join(stale)}; run python docs/generate.py\n")
        return 1
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
