"""Drawings of single steps: the half-woven basket at one moment, what moves picked out, places numbered.

From the same curves, times and viewpoints as the pictures; which drawing a step wants is said in `teach`.
"""
