"""The commands of one's own samples: parts of which somebody said what they are."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from idkit.show import records, terminal
from idkit.show.records import By

app = typer.Typer(help="Your own samples: parts that somebody said the metal of, to learn from and to share.")

app.command("show")(records.show_record)


@app.command("list")
def list_samples(
    material: Annotated[str, typer.Option(help="that a person named")] = "",
    pile: Annotated[str, typer.Option(help="that it was put on")] = "",
    by: Annotated[By | None, typer.Option(help="who said so", case_sensitive=False, show_default=False)] = None,
    yard: Annotated[str, typer.Option(help="which yard")] = "",
    since: Annotated[str, typer.Option(help="kept on this day or later: 2026-03-01")] = "",
    wrong: Annotated[bool, typer.Option("--wrong", help="those that the machine put on another pile")] = False,
    removed: Annotated[bool, typer.Option("--removed", help="those that were removed and can be had back")] = False,
    rows: Annotated[int, typer.Option(help="how many at a time, at most 500")] = 20,
    before: Annotated[int | None, typer.Option(help="go on from this record", show_default=False)] = None,
    as_json: Annotated[bool, typer.Option("--json", help="one JSON document instead of words")] = False,
) -> None:
    """List confirmed parts, the newest first."""
    from idkit import flows
    from idkit.show import kept

    wanted = flows.listing(
        material,
        pile,
        by=by.value if by else "",
        yard=yard,
        since=since,
        confirmed=True,
        wrong=wrong,
        removed=removed,
        rows=rows,
        before=before,
    )
    kept.print_page(flows.records(wanted), as_json, "idkit confirm says what a kept part turned out to be")


@app.command()
def add(
    folder: Annotated[Path, typer.Argument(help="photos: one folder a material, or as --labels says")],
    labels: Annotated[
        Path | None, typer.Option(help="CSV table: file, material or category, any checks", show_default=False)
    ] = None,
    by: Annotated[By, typer.Option(help="who said what they are", case_sensitive=False)] = By.SELF,
    yard: Annotated[str, typer.Option(help="which yard")] = "",
    with_photo: Annotated[bool, typer.Option("--with-photo", help="keep the photos whole too")] = False,
) -> None:
    """Bring in photos of parts that are known already. A photo that is kept already is not kept twice."""
    from idkit import flows
    from idkit.show import document
    from idkit.show.words import counted

    voice = flows.Voice(by.value, yard)
    parts = flows.in_table(folder, labels, voice) if labels else flows.in_folders(folder, voice)
    new, unread = 0, 0
    for done in flows.add_samples(parts, document.part, with_photo=with_photo):
        for error in done.errors:
            terminal.say(str(error))
        terminal.show([("warn" if done.record is None else "" if done.new else "dim", f"{done.part}: {done.said}")])
        new, unread = new + done.new, unread + bool(done.errors)
    terminal.show([("good", f"{new} new of {counted(len(parts), 'part')}.")])
    raise typer.Exit((3 if unread == len(parts) else 1) if unread else 0)


@app.command()
def remove(
    numbers: Annotated[str, typer.Argument(help="numbers of idkit records list: 12 or 12,14-16")],
    undo: Annotated[bool, typer.Option("--undo", help="put them back")] = False,
) -> None:
    """Take records out of lists and learning; --undo puts them back, until idkit samples purge."""
    from idkit import flows

    changed = flows.remove(numbers, undo=undo)
    what = "put back" if undo else "removed; idkit samples remove NUMBERS --undo puts them back"
    terminal.show([("good", f"{changed} {what}.")])


@app.command()
def purge(yes: Annotated[bool, typer.Option("--yes", help="delete without asking")] = False) -> None:
    """Delete for good what was removed, with its photos."""
    from idkit import flows

    if not yes:
        terminal.prompt("Delete for good everything that was removed? y or n: ")
        if sys.stdin.readline().strip().lower() not in ("y", "yes"):
            terminal.show([("", "Nothing was deleted.")])
            return
    gone = flows.purge()
    terminal.show([("good", f"{gone.records} deleted for good.")])
    for copy in gone.backups:
        terminal.show([("warn", f"This copy of an older version may still hold them: {copy}")])


@app.command()
def pick(
    count: Annotated[int, typer.Argument(help="how many parts")] = 5,
    seed: Annotated[int | None, typer.Option(help="draw the same ones again", show_default=False)] = None,
    as_json: Annotated[bool, typer.Option("--json", help="one JSON document instead of words")] = False,
) -> None:
    """Pick kept parts at random to have confirmed: only they tell how often the machine is right."""
    from idkit import flows
    from idkit.show import kept

    picked = flows.pick(count, seed)
    if as_json:
        kept.print_json({"records": [each.record for each in picked]})
        return
    terminal.show(kept.lines(picked))
    if picked:
        terminal.show([("", "Have these confirmed, easy ones too: idkit confirm RECORD MATERIAL --by yard")])
    else:
        terminal.show([("", "Nothing to pick: what is kept is confirmed. idkit identify PHOTO --keep keeps more.")])


@app.command("export")
def export_samples(
    out: Annotated[Path, typer.Argument(help="the package to write, FILE.zip")],
    with_words: Annotated[
        bool, typer.Option("--with-words", help="with notes, yards' names, marks and origins")
    ] = False,
) -> None:
    """Write your confirmed samples into an open package to share: cues, answers, labels and small pictures."""
    from idkit import flows
    from idkit.show import taken

    taken.refuse(out, "export")
    count = flows.export_samples(out, words=with_words)
    left = "" if with_words else ", without notes, yards' names, marks, origins, file names and whole photos"
    terminal.show([("good", f"{out}: {count} samples{left}.")])
    terminal.show([("dim", "  Look at the small pictures in it before you give it away: what lies around shows too.")])


@app.command("import")
def import_samples(
    package: Annotated[Path, typer.Argument(help="a package that idkit samples export wrote")],
    weight: Annotated[float, typer.Option(help="what its samples weigh in learning: 1 like yours, 0 nothing")] = 1.0,
) -> None:
    """Take samples from another person's package, looked at first. The same one again changes what it weighs, and
    brings back what was deleted of it.
    """
    from idkit import flows

    done = flows.import_samples(package, weight)
    if done.again:
        back = f" {done.new} that had been deleted are here again." if done.new else ""
        told = f"Imported before: its {done.known + done.new} samples weigh {weight:g} now.{back}"
        terminal.show([("good", told)])
    else:
        known = f"; {done.known} were here already" if done.known else ""
        terminal.show([("good", f"{done.new} samples taken in{known}. They weigh {weight:g} in learning.")])


@app.command()
def report(as_json: Annotated[bool, typer.Option("--json", help="one JSON document instead of words")] = False) -> None:
    """Set what yards said against what the machine had said: agreement, chances and outcomes, the dearest mistakes."""
    from idkit import flows
    from idkit.show import kept
    from idkit.show import report as told

    found = flows.report()
    if as_json:
        kept.print_json(told.row(found))
    else:
        terminal.show(told.lines(found))


@app.command()
def downgrade(
    numbers: Annotated[str, typer.Argument(help="the parts of the line: 12-71")],
    claimed: Annotated[str, typer.Option(help="the pile you sold it as")],
    paid: Annotated[str, typer.Option(help="the pile that the yard paid it as")],
    reason: Annotated[str, typer.Option(help="what the yard said")],
    yard: Annotated[str, typer.Option(help="which yard")] = "",
    culprit: Annotated[str, typer.Option(help="the record of the part that caused it, if known")] = "",
    material: Annotated[str, typer.Option("--is", help="what the yard called that part")] = "",
) -> None:
    """Note a line that a yard paid below what was claimed: it says something only of the part that caused it."""
    from idkit import flows
    from idkit.show.words import counted

    line = flows.downgraded(flows.Paid(numbers, claimed, paid, yard, reason, culprit, material))
    count = counted(len(line.records), "part")
    terminal.show([("good", f"Noted: {count} sold as {line.claimed}, paid as {line.paid}.")])
    if line.culprit is None or not material:
        terminal.show([("dim", "  No part has a new label: the yard named none. --culprit RECORD --is MATERIAL does.")])
