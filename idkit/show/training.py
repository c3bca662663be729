"""The commands of one's own models: train, and models list, use and show."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Annotated

import typer

from idkit.show import terminal

app = typer.Typer(help="Which model judges: the one that came with idkit, or one trained on your own parts.")


def train(
    use: Annotated[bool, typer.Option("--use", help="use the new model whatever the report says")] = False,
    seed: Annotated[int, typer.Option(help="what parts are dealt out by; the same seed, the same result")] = 1,
    as_json: Annotated[bool, typer.Option("--json", help="one JSON document instead of words")] = False,
) -> None:
    """Learn from the parts that people confirmed, say whether it helps, and use the new model if it does."""
    from idkit import flows
    from idkit.show import learning

    found = flows.train(insist=use, seed=seed, beside=learning.keep)
    if as_json:
        sys.stdout.write(learning.document(found) + "\n")
    else:
        terminal.show(learning.words(found))


@app.command("list")
def list_models(
    as_json: Annotated[bool, typer.Option("--json", help="one JSON document instead of words")] = False,
) -> None:
    """List the models there are, and which one is in use."""
    from idkit import flows
    from idkit.show import learning

    told, in_use = [flows.told_of(model) for model in flows.known_models()], flows.name_in_use()
    if as_json:
        sys.stdout.write(json.dumps({"models": told, "in use": in_use}, indent=1) + "\n")
    else:
        terminal.show(learning.models(told, in_use))


@app.command()
def use(name: Annotated[str, typer.Argument(help="starter, or a name of idkit models list")]) -> None:
    """Let that model judge from now on. The starter that came with idkit is always there."""
    from idkit import flows

    terminal.show([("good", f"{flows.use_model(name).name} judges from now on.")])


@app.command()
def show(
    name: Annotated[str, typer.Argument(help="a name of idkit models list; the one in use without")] = "",
) -> None:
    """Print what a model learnt and its report."""
    from idkit import flows
    from idkit.show import learning

    model = flows.model_named(name) if name else flows.model_in_use()
    folder = flows.folder_of(model)
    terminal.show(learning.one(flows.told_of(model), model.card))
    if folder and (folder / learning.TEXT).is_file():
        sys.stdout.write(Path(folder / learning.TEXT).read_text(encoding="utf-8"))
