"""Extensions > Tiered Sleeve > Guide: opens the guide that was installed with it, and changes nothing."""
import contextlib
import os
import subprocess
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parent.parent))

from extension.wording.guide import no_guide, open_it_yourself

#: The first page; a clone has only its source.
PAGE = Path(__file__).resolve().parent.parent / "guide" / "guide.html"
#: Seconds in which a system without a browser says so; one with a browser may go on as long as that is open.
SAYS_NO_WITHIN = 3.0


def open_page(page: Path, platform: str = sys.platform) -> None:
    """Ask the system to show a page.  Raises OSError where it has nothing to do so with, or says that it could not."""
    if platform == "win32":
        os.startfile(page)  # type: ignore[attr-defined]  # only there
        return
    # The host waits until all who hold our output have let go of it: the browser must not.
    quiet = subprocess.DEVNULL
    opener = "open" if platform == "darwin" else "xdg-open"
    asked = subprocess.Popen([opener, page], stdin=quiet, stdout=quiet, stderr=quiet, start_new_session=True)
    with contextlib.suppress(subprocess.TimeoutExpired):
        if asked.wait(SAYS_NO_WITHIN):
            raise OSError(f"{opener} ended with {asked.returncode}")


def main() -> None:
    """Open the guide, or say where it is."""
    if not PAGE.is_file():
        sys.exit(no_guide(PAGE.parent))
    try:
        open_page(PAGE)
    except OSError:
        sys.exit(open_it_yourself(PAGE))


if __name__ == "__main__":
    main()
