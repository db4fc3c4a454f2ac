"""Drawings of a class: the cutting of strands, and the day as a strip of hours.

Draws what the class was worked out to; reckons nothing.
"""
