"""Re-measure After Editing: lines drawn again on what she has made of the Seam line, and the truing report."""
