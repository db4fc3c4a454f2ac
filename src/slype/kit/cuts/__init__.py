"""Cutting stock: strands to pieces, with a bound. Knows lengths, colours and counts, no basket and no class.

The solver stands behind one function, `cutting.cut`; `checks` adds every plan up anew.
"""
