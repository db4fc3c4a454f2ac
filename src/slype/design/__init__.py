"""A design as frozen values, what the buttons write at first, and in `design.file` how a file becomes one.

Nothing is reckoned from it here; how a file is changed is the business of `edit`.
"""
