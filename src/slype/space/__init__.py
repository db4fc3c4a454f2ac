"""The whole basket in space: round reeds along their curves, feet, arches, boards, handles and lids.

Geometry only: no light, no colour on a screen, no words.
"""
