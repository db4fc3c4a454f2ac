"""What the terminal prints: plans, reeds at rest, borders, tables.

Text for a terminal only; every figure comes from below.
"""
