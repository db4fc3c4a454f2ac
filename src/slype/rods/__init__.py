"""Reeds as springy rods: how they stack, touch and come to rest. Numbers in, numbers out.

No basket, no weave, no design: only thicknesses, lengths, forces.
"""
