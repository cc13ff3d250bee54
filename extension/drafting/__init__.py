"""Draft Sleeve: the sleeve, its notes and fit chart, and where they come to stand."""
