"""Models of one's own: a folder each, never changed once it is there, and a line that says which one is in use."""

from __future__ import annotations

import os
import re
import shutil
import tempfile
from collections.abc import Callable
from itertools import count
from pathlib import Path

from idkit.errors import StoreError
from idkit.keep.home import home

IN_USE = "in-use.txt"
NAME = re.compile(r"own-[1-9][0-9]{0,5}")


def models_folder() -> Path:
    """Where they are; may not exist yet."""
    return home() / "models"


def models() -> tuple[str, ...]:
    """Names of the kept models, the oldest first."""
    found = [path.name for path in _listed() if NAME.fullmatch(path.name) and path.is_dir()]
    return tuple(sorted(found, key=lambda name: int(name.removeprefix("own-"))))


def model_in_use() -> str:
    """The name of the one in use, '' for the one that came with idkit."""
    try:
        said = (models_folder() / IN_USE).read_text("utf-8").strip()
    except (FileNotFoundError, NotADirectoryError):
        return ""
    except (OSError, UnicodeDecodeError) as error:
        raise StoreError(str(models_folder() / IN_USE), f"can't be read ({error})", "", _BACK) from None
    if said and not NAME.fullmatch(said):
        raise StoreError(str(models_folder() / IN_USE), f"got {said[:40]!r}", "the name of a model", _BACK)
    return said


def use_model(name: str) -> None:
    """Say which one is in use, '' for the one that came with idkit; whole at every moment."""
    with _in_words():
        models_folder().mkdir(parents=True, exist_ok=True)
        _write_whole(models_folder() / IN_USE, f"{name}\n")


def new_model(write: Callable[[Path, str], None]) -> str:
    """Keep what `write` puts into a folder under the next free name; nobody sees it before it is whole."""
    with _in_words():
        models_folder().mkdir(parents=True, exist_ok=True)
    for name in (f"own-{n}" for n in count(1)):
        if not (models_folder() / name).exists() and _made(write, name):
            return name
    raise AssertionError


def _made(write: Callable[[Path, str], None], name: str) -> bool:
    """Whether it is there under that name now: not where another idkit took the name meanwhile."""
    with _in_words():
        made = Path(tempfile.mkdtemp(prefix="being-made-", dir=models_folder()))
    try:
        write(made, name)
        with _in_words():
            made.chmod(0o755)
            for path in made.iterdir():
                _to_disk(path)
            return _renamed(made, models_folder() / name)
    finally:
        shutil.rmtree(made, ignore_errors=True)


def _renamed(made: Path, to: Path) -> bool:
    try:
        made.rename(to)
    except OSError:
        if to.exists():
            return False
        raise
    return True


_BACK = "idkit models use starter"


def _listed() -> list[Path]:
    try:
        return list(models_folder().iterdir())
    except (FileNotFoundError, NotADirectoryError):
        return []


def _write_whole(path: Path, text: str) -> None:
    handle, name = tempfile.mkstemp(prefix=".being-written-", dir=path.parent)
    with os.fdopen(handle, "w", encoding="utf-8") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())
    Path(name).replace(path)


def _to_disk(path: Path) -> None:
    if path.is_file():
        with path.open("rb") as file:
            os.fsync(file.fileno())


class _in_words:  # noqa: N801 (read as with _in_words())
    """What the system says of files, in one line."""

    def __enter__(self) -> None:
        """Nothing to do."""

    def __exit__(self, _: object, error: BaseException | None, __: object) -> None:
        if isinstance(error, OSError):
            told = error.strerror or str(error)
            raise StoreError(
                str(models_folder()), told, "a folder of yours with room in it", "set IDKIT_HOME"
            ) from None
