"""The command that says what one part may be, from photos and what was answered."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, TypeVar

import typer

from idkit.errors import CallError, PhotoError, StoreError
from idkit.show import terminal
from idkit.show.status import DONE, NOTHING_DONE, SOME_UNREAD

if TYPE_CHECKING:
    from idkit.flows import Identified, Several

Found = TypeVar("Found", "Identified", "Several")


class Prior(StrEnum):
    """How common the materials are taken to be."""

    FORM = "form"
    EVEN = "even"


def identify(
    photos: Annotated[list[Path] | None, typer.Argument(help="photos of one part", show_default=False)] = None,
    magnet: Annotated[str, typer.Option(help="none, weak, strong or in-places")] = "",
    thickness: Annotated[str, typer.Option(help='of the metal: "3.2 mm", "1/8 in"')] = "",
    form: Annotated[str, typer.Option(help="casting, sheet, tube, fitting ...: idkit facts checks lists them")] = "",
    weight: Annotated[str, typer.Option(help='of the part, dry: "1.2 kg", "1 lb 4 oz"')] = "",
    jar: Annotated[str, typer.Option(help="reading of a tared jar of water with the part hung in it")] = "",
    hung: Annotated[str, typer.Option(help="weight of the part hung in water")] = "",
    attached: Annotated[str, typer.Option(help='what is still on it: none, "steel screws", "rubber seal"')] = "",
    hollow: Annotated[str, typer.Option(help="yes or no: is there a closed space inside?")] = "",
    inside: Annotated[str, typer.Option(help="same or different: under the skin, where cut")] = "",
    scratch_colour: Annotated[
        str,
        typer.Option(
            "--scratch-colour",
            "--scratch-color",
            help="as the eye sees it: copper-red, orange-gold, brass-yellow, grey-white, dark-granular",
        ),
    ] = "",
    scratched: Annotated[bool, typer.Option("--scratched", help="the photo shows bare scratched metal")] = False,
    scratch: Annotated[str, typer.Option(help="X,Y,W,H of the scratch in the photo, in pixels")] = "",
    came_out_of: Annotated[str, typer.Option(help="what the part came out of")] = "",
    marked: Annotated[str, typer.Option(help="letters and numbers on it")] = "",
    note: Annotated[str, typer.Option(help="whatever else you saw: oil, old paint, a spring inside")] = "",
    scale: Annotated[str, typer.Option(help='step of the scale, "1 g", or a name saved with idkit bench scale')] = "",
    answer: Annotated[list[str] | None, typer.Option(help="any check, as CHECK=VALUE", show_default=False)] = None,
    yard: Annotated[str, typer.Option(help="sell to this yard instead of the one in use")] = "",
    prices: Annotated[
        Path | None, typer.Option(help="a price list instead of the one in use", show_default=False)
    ] = None,
    prior: Annotated[
        Prior, typer.Option(help="how common the materials are: by form, or all even", case_sensitive=False)
    ] = Prior.FORM,
    each: Annotated[
        bool, typer.Option("--each", help="every part of a photo of several; what you answer holds for all of them")
    ] = False,
    ask: Annotated[
        bool | None,
        typer.Option(
            "--ask/--no-ask", help="ask one question after another; with photos alone, on a terminal, it does"
        ),
    ] = None,
    picture: Annotated[Path | None, typer.Option(help="draw what was seen into this PNG", show_default=False)] = None,
    keep: Annotated[bool, typer.Option("--keep", help="keep the verdict as a record, to confirm at the yard")] = False,
    with_photo: Annotated[bool, typer.Option("--with-photo", help="keep the photo whole too, not only small")] = False,
    as_json: Annotated[bool, typer.Option("--json", help="one JSON document instead of words")] = False,
) -> None:
    """Say what one part may be made of, how sure that is, and what to do next."""
    from idkit import flows
    from idkit.show import asking, boxes, selling

    named = {
        "magnet": magnet,
        "thickness": thickness,
        "form": form,
        "weight": weight,
        "jar": jar,
        "hung": hung,
        "attached": attached,
        "hollow": hollow,
        "inside": inside,
        "scratch-colour": scratch_colour,
        "came-out-of": came_out_of,
        "marked": marked,
    }
    mine = flows.bench()
    typed = flows.on_this_bench(scale, {**named, **_pairs(answer or (), named)}, mine)
    box, even = boxes.parse(scratch), prior is Prior.EVEN
    if picture:
        from idkit.show import pictures

        pictures.refuse(picture)  # before anything is kept
    sold = selling.holds(yard, prices)
    context = flows.Context("scratched" if scratched else None, note, even, tools=mine.tools, sold=sold)
    if each:
        if box:
            raise CallError("--scratch", "got a box together with --each", "a box on one part", "leave one of them out")
        several = flows.identify_each(photos or [], typed, context, every_cue=as_json or keep)
        several = _warned(several, flows.remembered_each)
        raise typer.Exit(_each(*_kept(several, flows.keep_each, keep, with_photo), picture, as_json))
    case = flows.begin(photos or [], typed, context, scratch=box, every_cue=as_json or keep)
    answered = any(text.strip() for text in typed.values())
    asks = ask or (ask is None and bool(photos) and not answered and not as_json and terminal.is_seen())
    if asks:
        case = asking.ask(case, asking.hand(), mine.words)
    found, status = _kept(_warned(case.identified, flows.remembered), flows.keep_record, keep, with_photo)
    raise typer.Exit(_one(found, status, picture, as_json, mine.words, brief=asks))


def _one(found: Identified, kept: int, picture: Path | None, as_json: bool, spelt: str, *, brief: bool) -> int:
    """Print one part; the exit status, which is `kept` where it could not be kept."""
    from idkit import flows
    from idkit.show import document, spelling, words

    for error in found.unread:
        terminal.say(str(error))
    if picture:
        from idkit.show import pictures

        pictures.draw(found, picture)
    if as_json:
        sys.stdout.write(document.document([found.record]) + "\n")
    else:
        lines = words.brief(found.record) if brief else words.lines(found.record)
        terminal.show(spelling.spoken(lines, spelt))
    if found.record.kept is not None and (same := flows.same_photos([number := found.record.kept])[number]):
        told = f"record {', '.join(map(str, same))} holds the same photo already; if it is the same part"
        terminal.say(f"{told}, idkit samples remove {number} keeps it from counting twice")
    return kept or (SOME_UNREAD if found.unread else DONE)


def _each(found: Several, kept: int, picture: Path | None, as_json: bool) -> int:
    """Print the parts of photos that show several; the exit status, which is `kept` where they could not be kept."""
    from idkit.show import document, each

    for error in found.unread:
        terminal.say(str(error))
    if picture:
        each.draw(found, picture)
    if as_json:
        sys.stdout.write(document.document(part.record for _, parts in found.photos for part in parts) + "\n")
        for photo, parts in found.photos:
            if not parts:
                terminal.say(f"{photo.file}: {each.NOTHING}")
    else:
        terminal.show(each.lines(found))
    return kept or (SOME_UNREAD if found.unread else DONE)


def _warned(found: Found, how: Callable[[Found], Found]) -> Found:
    """With what went wrong before with parts like it; a store that can't be read is said, and is no reason to stop."""
    try:
        return how(found)
    except StoreError as error:
        terminal.say(str(error))
        return found


def _kept(found: Found, how: Callable[..., Found], wanted: bool, with_photo: bool) -> tuple[Found, int]:
    """What was found, kept where that is wanted; where it can't be, that is said, and it is still to be printed."""
    from idkit.show import document

    if not wanted:
        return found, DONE
    try:
        return how(found, document.part, with_photo=with_photo), DONE
    except (StoreError, PhotoError) as error:
        terminal.say(f"not kept: {error}")
        return found, NOTHING_DONE


def _pairs(answers: Sequence[str], named: dict[str, str]) -> dict[str, str]:
    """CHECK=VALUE pairs; an answer given twice is refused."""
    found: dict[str, str] = {}
    for text in answers:
        name, equals, value = text.partition("=")
        if not equals or not value.strip():
            raise CallError("--answer", f"got {text!r}", "CHECK=VALUE", "try --answer magnet=none")
        if name in found or named.get(name):
            raise CallError("--answer", f"got {name!r} twice", "one answer a check")
        found[name.strip()] = value
    return found
