"""How long a book takes as files, against an effect that adds one empty layer, and whether memory grows.

    uv run python -m tests.benchmark_book [ROWS ...]

Prints for each number of rows the time of the whole run and of a row, in empty-layer runs, and the peak of
memory; rows are the women of openintro/bdims, over and over.
"""
from __future__ import annotations

import resource
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from extension.demo import BLANK
from tests.extension.test_client_book import SCRIPT, book_of_women

_EMPTY_LAYER = """
import inkex
class Empty(inkex.EffectExtension):
    def effect(self):
        self.svg.append(inkex.Layer())
Empty().run()
"""


def seconds(command: list[str], cwd: Path) -> float:
    begun = time.perf_counter()
    subprocess.run(command, cwd=cwd, check=True, stdout=subprocess.DEVNULL)
    return time.perf_counter() - begun


def main(counts: list[int]) -> None:
    with tempfile.TemporaryDirectory() as workshop:
        folder = Path(workshop)
        document, empty = folder / "document.svg", folder / "empty.py"
        document.write_text(BLANK)
        empty.write_text(_EMPTY_LAYER)
        floor = statistics.median(seconds([sys.executable, str(empty), str(document)], folder) for _ in range(5))
        print(f"An empty layer: {floor:.3f} s")
        for count in counts:
            files = folder / f"files-{count}"
            files.mkdir()
            book_of_women(folder / "book.csv", count)
            options = [f"--book={folder / 'book.csv'}", "--action=draft", "--arrange=files", f"--folder={files}", str(document)]
            took = seconds([sys.executable, str(SCRIPT), *options], SCRIPT.parent)
            peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
            drawn = len(list(files.glob("*/*.svg")))
            print(f"{count} rows, {drawn} drawn: {took:.1f} s, a row {took / count / floor:.3f} empty layers; peak {peak:.0f} MB so far")


if __name__ == "__main__":
    main([int(count) for count in sys.argv[1:]] or [100, 1000])
