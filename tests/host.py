"""What the tests know of the editor on this machine, and what they do where it is missing."""
from __future__ import annotations

import os
import shutil
import subprocess
from pathlib import Path
from typing import Optional

import pytest

REPOSITORY = Path(__file__).resolve().parent.parent
HOW_TO_GET_IT = "apt-get install inkscape xvfb, or see .ci/run"


def missing(what: str) -> None:
    """Fail where the editor tests are required, else skip and say how to get ``what``."""
    message = f"{what} is missing: {HOW_TO_GET_IT}"
    if os.environ.get("EDITOR_TESTS") == "required":
        pytest.fail(message)
    pytest.skip(message)


def host_extensions() -> Optional[Path]:
    """The folder of the editor's own extensions, which holds its inkex, or None without an editor."""
    if shutil.which("inkscape") is None:
        return None
    asked = subprocess.run(["inkscape", "--system-data-directory"], capture_output=True, text=True, timeout=60)
    folder = Path(asked.stdout.strip()) / "extensions"
    return folder if (folder / "inkex").is_dir() else None


def host_python() -> str:
    """The Python that the editor would find on a machine without our virtual environment."""
    system = Path("/usr/bin/python3")
    return str(system) if system.exists() else shutil.which("python3")
