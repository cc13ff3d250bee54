"""Tiered Sleeve in the editor: dialogs, effects and the drawing; every number comes from ``geometry``."""
#: Written into each drawing's record, so that a later version knows what drew it.
VERSION = "0.1.0"
