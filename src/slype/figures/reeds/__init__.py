"""Stretches of reeds as a drawing of one moment wants them: joined, hanging over, untied, rounded.

What a stretch is and what becomes of its line; which reeds lie there at a moment is `figures.making`'s.
"""
