"""Lines and cubics in millimetres: length, nearest place, crossings, parallels."""
