"""Measuring from a photograph with a ruler in it: opened with care, scaled by clicked points, rows counted.

Knows pictures and points; no book, no page. Nothing leaves the machine, and a hostile file is refused in a sentence.
"""
