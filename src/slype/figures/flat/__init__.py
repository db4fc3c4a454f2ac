"""Drawings that are flat from the first: rods from the side, the wall cut across, and what is written on drawings.

Drawn for the right hand and mirrored for the left; thicknesses, numbers and sides are the basket's.
"""
