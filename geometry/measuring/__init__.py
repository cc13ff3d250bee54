"""What she measures and types: lengths, tables of ranges, values that differ from tier to tier."""
