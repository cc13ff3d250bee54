"""Our hand: pens, lettering, sheets, panels, tables."""
