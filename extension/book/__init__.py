"""The client book: a plain CSV, what its rows say, and drafting them one or many at a time."""
