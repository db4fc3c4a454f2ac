"""Weaves: the table of them, every stroke they make, and what their colours do on a count of ends.

No wall, no base, no lengths: spokes and spaces are numbers here.
"""
