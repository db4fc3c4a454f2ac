"""What the studio's program and its page say to each other: one form each, typed.

`docs/make_contract.py` writes the same as JSDoc types for the page (`contract.js`); a test holds answers to them.
Lengths that are drawn are in mm; every figure that is read is text, worded and rounded before. Knows only these forms.
"""
