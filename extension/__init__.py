"""Tiered Sleeve in the editor: dialogs, effects and the drawing; every number comes from ``geometry``."""
import sys

#: Written into each drawing's record, so that a later version knows what drew it.
VERSION = "0.1.0"

# Live preview runs a command at every change, and compiling our modules takes longer than drafting a
# sleeve; so they are kept compiled beside their sources even where the machine's habit is not to.
sys.dont_write_bytecode = False
