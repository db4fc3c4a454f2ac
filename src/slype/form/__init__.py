"""The form of a basket: its wall, bases, handles and lids as shapes, and the tiers its ends stand on.

Nothing of what is woven there, and nothing of the file.
"""
