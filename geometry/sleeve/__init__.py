"""How a sleeve is made: arm, armhole, underarm seam, block, outline, allowances, tier lines, marks, fit."""
