"""Where the user's own things are kept."""

from __future__ import annotations

import os
from pathlib import Path

from platformdirs import user_data_path


def home() -> Path:
    """The folder: IDKIT_HOME where it is set, else that of the system for a program's own data. May not exist yet."""
    chosen = os.environ.get("IDKIT_HOME", "")
    return Path(chosen).expanduser() if chosen else user_data_path("idkit", appauthor=False)
