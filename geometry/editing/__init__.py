"""After she has moved the curves: corners found again, lines brought back to the seams."""
