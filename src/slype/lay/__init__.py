"""A design laid out: where every row lies, how reeds pack, where joins fall, where feet, handles and lids go.

The quick reckoning in stacked rows. No curves in space, no advice, no words for makers.
"""
