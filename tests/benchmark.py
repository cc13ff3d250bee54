"""Wall time of an effect against one that adds a single empty layer; prints figures, judges nothing.

    python -m tests.benchmark extension/draft_sleeve.py --unit=in
    python -m tests.benchmark --pairs 50 --host --document in.svg extension/draft_sleeve.py

The two run alternately, pair by pair, so that whatever else the machine does falls on both.  ``--host``
uses the system's Python and the editor's own inkex, as inside the editor; else it is this Python.
An effect that changes nothing writes nothing, so the floor is one that changes as little as can be.
Python keeps what it compiles (PYTHONDONTWRITEBYTECODE is taken out of the environment), as it does for her
unless she has told it not to; then every run compiles our modules anew.
"""
from __future__ import annotations

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.host import host_extensions, host_python

FLOOR = """
import inkex


class EmptyLayer(inkex.EffectExtension):
    def effect(self):
        self.svg.append(inkex.Layer.new("Empty"))


if __name__ == "__main__":
    EmptyLayer().run()
"""

DOCUMENT = '<svg xmlns="http://www.w3.org/2000/svg" width="210mm" height="297mm" viewBox="0 0 210 297"/>'


def seconds(python: str, script: Path, words: list[str], document: Path, environment: dict[str, str]) -> float:
    """Run an effect once, as the host would, and return its wall time; exits if the effect says no."""
    started = time.perf_counter()
    done = subprocess.run(
        [python, script.name, *words, str(document)], cwd=script.parent, env=environment, capture_output=True, check=False
    )
    elapsed = time.perf_counter() - started
    if done.returncode or done.stderr or not done.stdout:
        sys.exit(f"{script.name} did not draw: {done.stderr.decode('utf-8', 'replace')}")
    return elapsed


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--pairs", type=int, default=25)
    parser.add_argument("--host", action="store_true", help="the system's Python and the editor's inkex")
    parser.add_argument("--document", type=Path, help="default: an empty A4 page")
    parser.add_argument("script", type=Path)
    parser.add_argument("options", nargs=argparse.REMAINDER, help="options of the effect")
    asked = parser.parse_args()

    environment = {name: value for name, value in os.environ.items() if name not in ("PYTHONPATH", "PYTHONDONTWRITEBYTECODE")}
    python = sys.executable
    if asked.host:
        folder = host_extensions()
        if folder is None:
            sys.exit("There is no Inkscape here whose inkex could be used.")
        python, environment["PYTHONPATH"] = host_python(), str(folder)

    with tempfile.TemporaryDirectory() as workshop:
        floor = Path(workshop, "floor.py")
        floor.write_text(FLOOR, encoding="utf-8")
        document = Path(workshop, "document.svg")
        document.write_text(asked.document.read_text("utf-8") if asked.document else DOCUMENT, encoding="utf-8")
        runs = {"an empty layer": (floor, []), asked.script.name: (asked.script.resolve(), asked.options)}
        for script, words in runs.values():  # once unmeasured, to fill the caches
            seconds(python, script, words, document, environment)
        times = {name: [] for name in runs}
        for _ in range(asked.pairs):
            for name, (script, words) in runs.items():
                times[name].append(seconds(python, script, words, document, environment))

    print(f"{python}, {asked.pairs} pairs")
    for name, measured in times.items():
        print(f"  {name:24} median {statistics.median(measured):.3f} s, fastest {min(measured):.3f} s")
    ratios = [ours / least for least, ours in zip(*times.values())]
    low, _, high = statistics.quantiles(ratios, n=4)
    print(f"  {'ratio, pair by pair':24} median {statistics.median(ratios):.2f}, middle half {low:.2f} to {high:.2f}")


if __name__ == "__main__":
    main()
