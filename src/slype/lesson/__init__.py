"""The lesson: one file that plays the weaving of a basket, stroke by stroke, in a student's hand.

It owns what such a file holds (`content`, `chapters`, `counting`), how that is packed (`packed`), and how the page and
its scripts become one file that needs nothing else (`joined`, `whole`). What the student sees is in `page/`: it draws
and counts, and reckons no length and no stroke.
"""
