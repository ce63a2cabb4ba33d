"""Protocols as data: methods, steps and forms, and the library that tells of them."""

from pathlib import Path

LIBRARY = Path(__file__).resolve().parent.parent / "library"
"""The folder of its files."""
