"""Curves on the basket's own surface: every reed's way over and under, before it stands in space.

No thickness in space, no time, no picture.
"""
