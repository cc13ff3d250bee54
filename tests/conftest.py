"""Running an effect as a script, the way the editor does, without the editor."""
from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Callable, NamedTuple

import pytest
from hypothesis import settings

from extension.drafting.start import EXAMPLE_LABEL
from geometry.measuring.measurements import EXAMPLE
from tests.host import REPOSITORY, host_extensions, host_python, missing

#: An empty page.
A4 = '<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297"/>'

# In CI the property tests try the same examples as long as the code is the same, so that a change and not luck turns it
# red; on a developer's machine they go on looking for new ones.
settings.register_profile("ci", derandomize=True, deadline=None)
settings.register_profile("here", deadline=None)
settings.load_profile("ci" if os.environ.get("CI") else "here")

#: Seconds; an effect that takes so long hangs.
PATIENCE = 60


#: What a test of Draft Sleeve has typed in its dialog unless it types something else.
CLIENT = {**EXAMPLE, "label": EXAMPLE_LABEL}


@pytest.fixture(scope="session", autouse=True)
def nobody_elses_settings(tmp_path_factory) -> None:
    """No test reads the settings of whoever runs it, or writes into them."""
    os.environ["INKSCAPE_PROFILE_DIR"] = str(tmp_path_factory.mktemp("profile"))


@pytest.fixture(autouse=True)
def settings_of_its_own(tmp_path, monkeypatch) -> None:
    """Nor does one test find what another has kept."""
    monkeypatch.setenv("INKSCAPE_PROFILE_DIR", str(tmp_path / "profile"))


class Outcome(NamedTuple):
    """What an effect answered: its exit status, the new document, what the host would show in a box."""

    returncode: int
    stdout: str
    stderr: str


def run_script(
    script: Path, options: Mapping[str, object], document: Path, select: Iterable[str] = (), as_host: bool = False
) -> Outcome:
    """Run an effect on a document with the tests' Python, or with the host's Python and the host's inkex."""
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    environment["INKSCAPE_PROFILE_DIR"] = str(document.parent / "profile")  # whose settings are none of the tester's own
    python = sys.executable
    if as_host:
        folder = host_extensions()
        if folder is None:
            missing("Inkscape")
        python = host_python()
        environment["PYTHONPATH"] = str(folder)
        environment.pop("VIRTUAL_ENV", None)
    if Path(script).name == "draft_sleeve.py":
        options = {**CLIENT, **options}
    words = [f"--id={name}" for name in select] + [f"--{name}={_typed(value)}" for name, value in options.items()]
    done = subprocess.run(
        [python, Path(script).name, *words, str(document)],
        cwd=Path(script).resolve().parent,
        env={**environment, "PYTHONIOENCODING": "utf-8"},
        capture_output=True,
        timeout=PATIENCE,
        check=False,
    )
    return Outcome(done.returncode, done.stdout.decode("utf-8"), done.stderr.decode("utf-8"))


@pytest.fixture
def run_effect(tmp_path: Path) -> Callable[..., Outcome]:
    """``run_effect(script, options, svg_text, select=())`` with the tests' Python and inkex."""
    return _runner(tmp_path, as_host=False)


@pytest.fixture
def run(run_effect) -> Callable[..., str]:
    """``run(name, svg_text, **options)``: the document that a command leaves, which it must do without a word."""

    def run(name: str, svg: str = A4, **options: str) -> str:
        outcome = run_effect(REPOSITORY / "extension" / f"{name}.py", options, svg)
        assert outcome.returncode == 0 and outcome.stderr == "", outcome.stderr
        return outcome.stdout

    return run


@pytest.fixture(params=[False, True], ids=["tests-inkex", "host-inkex"])
def run_effect_everywhere(request: pytest.FixtureRequest, tmp_path: Path) -> Callable[..., Outcome]:
    """Like ``run_effect``, for a test that runs twice: the second time with the host's Python and inkex."""
    return _runner(tmp_path, as_host=request.param)


def _runner(folder: Path, as_host: bool) -> Callable[..., Outcome]:
    def run(script: Path, options: Mapping[str, object], svg_text: str, select: Iterable[str] = ()) -> Outcome:
        document = folder / "document.svg"
        document.write_text(svg_text, encoding="utf-8")
        return run_script(script, options, document, select, as_host)

    return run


def _typed(value: object) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)
