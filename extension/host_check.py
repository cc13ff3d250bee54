"""Says in one sentence what is missing where the editor can't run us; imported before anything that needs it.

Nothing here may need more than a bare Python 3, old as it may be.
"""
import gc
import os
import sys

#: What the editor must bring along, oldest that will do: the first Inkscape with pages came with inkex 1.2.
OLDEST_PYTHON, OLDEST_EDITOR = (3, 9), "1.2"

_BY_PACKAGE = (
    "type in a terminal: sudo apt install python3-{0} (Debian, Ubuntu), sudo dnf install python3-{0} (Fedora)"
    " or sudo pacman -S python-{0} (Arch)"
)
_ANEW = f"install Inkscape anew from inkscape.org, version {OLDEST_EDITOR} or newer, which brings it along"
_NEWER = f"install version {OLDEST_EDITOR} or newer from inkscape.org"


def what_is_missing(platform=sys.platform, environment=os.environ, python=sys.version_info, load=__import__):  # noqa: ANN001, ANN201
    """Return a sentence on what is missing and how to get it, or None where all is there.

    ``load`` imports a module by name, or raises ImportError.
    """
    for name in ("numpy", "lxml"):
        try:
            load(name)
        except ImportError:
            packaged = platform.startswith("linux") and not any(environment.get(key) for key in ("FLATPAK_ID", "SNAP", "APPIMAGE"))
            how = _BY_PACKAGE.format(name) if packaged else _ANEW
            return f"Tiered Sleeve needs {name}, which the Python of this Inkscape lacks: {how}. Then open Inkscape anew."
    if tuple(python[:2]) < OLDEST_PYTHON:
        read = ".".join(map(str, python[:2]))
        return f"Tiered Sleeve needs Python 3.9 or newer, and this Inkscape runs {read}: {_NEWER}."
    try:
        inkex = load("inkex")
    except ImportError as problem:
        return f"Tiered Sleeve can't load what Inkscape ships for its extensions ({problem}): {_ANEW}."
    if not hasattr(inkex, "Page"):
        return f"This Inkscape is older than {OLDEST_EDITOR}, and Tiered Sleeve needs its pages: {_NEWER}."
    return None


def stop_where_something_is_missing():  # noqa: ANN201
    """Leave with a sentence for the host's message box, before anything is read or drawn, where we can't run.

    Nothing that numpy and inkex bring along is ever thrown away: looking among it for garbage, again and again while
    it is loaded, took a twentieth of the time of a draft.  So the collector rests meanwhile, and leaves it alone after.
    Nor have we matrices so large that several processors would share them, and where numpy came with OpenBLAS as much
    again went into making ready for that.
    """
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    gc.disable()
    sentence = what_is_missing()
    gc.freeze()
    gc.enable()
    if sentence:
        sys.exit(sentence)


stop_where_something_is_missing()
