"""Sentences for makers, in either wording, for either hand: steps, strokes, lists.

Words from values. Nothing is reckoned here and no layout is known.
"""
