"""Tests; they mirror the two packages, and tests/editor runs the real editor."""
