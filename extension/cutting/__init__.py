"""Cutting Plan: lays, job sheet, pieces and files."""
