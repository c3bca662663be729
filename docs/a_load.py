"""The load of docs/a-load.md: python docs/a_load.py FOLDER lays out its photographs, --write runs it and
writes it anew.

Its 26 parts are invented. The ten rendered sample pictures stand in for their photographs: mirrored, turned and
darkened, so that no two are the same.
"""

from __future__ import annotations

import csv
import os
import re
import shlex
import subprocess
import sys
import tempfile
from collections import Counter
from pathlib import Path

from PIL import Image, ImageOps

DOCS = Path(__file__).resolve().parent
SAMPLES = DOCS.parent / "sample_images"
DARKER = 0.93
PAGE = DOCS / "a-load.md"
BLOCK = re.compile(r"^```\n(.*?)^```", re.MULTILINE | re.DOTALL)
CALL = re.compile(r"^\$ idkit (.+)$", re.MULTILINE)


def main() -> int:
    """Write the photographs; 2 where no folder is named."""
    if len(sys.argv) != 2 or (sys.argv[1].startswith("-") and sys.argv[1] != "--write"):
        sys.stderr.write("name a folder for the photographs, or --write\n")
        return 2
    if sys.argv[1] == "--write":
        with tempfile.TemporaryDirectory() as folder:
            PAGE.write_text(run_anew(PAGE.read_text("utf-8"), Path(folder)), encoding="utf-8")
    else:
        lay_out(Path(sys.argv[1]))
    return 0


def run_anew(text: str, folder: Path) -> str:
    """The page with what its commands say now, run one after another in a folder with a store of its own."""
    lay_out(folder / "photos")
    (folder / "docs").symlink_to(DOCS)
    return BLOCK.sub(lambda block: f"```\n{''.join(_run(call, folder) for call in CALL.findall(block[1]))}```", text)


def _run(call: str, folder: Path) -> str:
    """A command and what it says, on both streams."""
    words = [sys.executable, "-c", "from idkit.show.cli import main; main()", *shlex.split(call)]
    home = {"IDKIT_HOME": str(folder / "home"), "PYTHONPATH": str(DOCS.parent), "NO_COLOR": "1", "COLUMNS": "80"}
    done = subprocess.run(words, cwd=folder, env={**os.environ, **home}, capture_output=True, text=True, check=False)
    if done.returncode:
        raise SystemExit(f"{call}: {done.stderr}")
    return f"$ idkit {call}\n{done.stdout}"


def lay_out(folder: Path) -> list[Path]:
    """One photograph a row of pictures.csv, named after its part."""
    folder.mkdir(parents=True, exist_ok=True)
    seen: Counter[str] = Counter()
    written = []
    with (DOCS / "a-load" / "pictures.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            target = folder / f"{row['part']}.jpg"
            with Image.open(SAMPLES / row["picture"]) as picture:
                _changed(picture, seen[row["picture"]]).save(target, quality=90)
            seen[row["picture"]] += 1
            written.append(target)
    return written


def _changed(picture: Image.Image, times: int) -> Image.Image:
    """The picture as its so manyth part shows: mirrored, on its head, both, each a little darker."""
    turned = ImageOps.mirror(picture) if times % 2 else picture
    turned = turned.rotate(180) if times // 2 % 2 else turned
    return turned.point(lambda value: round(value * DARKER**times))


if __name__ == "__main__":
    raise SystemExit(main())
