"""The smaller pieces of a sleeve, each measured on its Seam line: ends of strips, band, casing, facing, binding, lining."""
