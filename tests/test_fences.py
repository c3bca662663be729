"""What others may rely on, and what a start costs."""

from __future__ import annotations

import subprocess
import sys

import pytest

import idkit

PUBLIC = ["CallError", "Identified", "IdkitError", "PhotoError", "Record", "Verdict", "__version__", "identify"]
SLOW = ("cv2", "numpy", "skimage", "sklearn", "scipy", "PIL", "matplotlib", "typer")


def test_the_public_list_is_exact_and_every_name_is_there() -> None:
    assert idkit.__all__ == PUBLIC
    assert all(getattr(idkit, name) is not None for name in PUBLIC)


def test_a_name_that_is_not_public_is_refused() -> None:
    with pytest.raises(AttributeError, match="no attribute 'guess'"):
        _ = idkit.guess


def test_importing_idkit_loads_nothing_slow() -> None:
    """scikit-learn takes over a second and cv2 a sixth of one to import; `--help` should not wait for either."""
    code = f"import sys, idkit; print([name for name in {SLOW!r} if name in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
