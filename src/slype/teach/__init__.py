"""The making as a beginner is taught it: numbered short steps as values, with counts, looks, slips and drawings.

One source for handout, card, teacher's script and lesson; sentences for the design's hand and wording, no page layout.
"""
