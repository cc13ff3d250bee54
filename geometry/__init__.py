"""Tiered Sleeve in numbers: measurements → block → outline → tiers → strips.  Knows no document."""
