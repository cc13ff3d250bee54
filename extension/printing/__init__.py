"""Print Pages: what is printed, on which sheets, and what stands on them."""
