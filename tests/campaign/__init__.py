"""Seeded edits of every kind that she makes, each judged by code that shares nothing with ours.

    uv run python -m tests.campaign --cases 2000 --seed 7
"""
