"""The plan: pieces to cut, reed by weight, cost, time, cautions, and whether a thing fits.

Figures with their parts; how they are told or shown is for the rooms above.
"""
