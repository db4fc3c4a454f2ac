"""Reeds brought to rest: every strand a rod that none other passes through, true lengths and heights.

Knows reeds and contacts; no prices, no words, no picture.
"""
