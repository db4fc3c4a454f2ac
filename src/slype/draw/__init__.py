"""Pictures: painted, drawn, hatched, charts of squares, the basket as a solid.

Draws what it is given; measures nothing and decides nothing of the trade.
"""
