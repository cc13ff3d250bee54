"""Sheets of paper over a drawing, and room for lettering."""
