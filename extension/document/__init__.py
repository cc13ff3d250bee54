"""Her document: true scale, our parts and records in it, paths, free room, pages, and a sleeve read back."""
