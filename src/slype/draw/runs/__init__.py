"""Runs of a reed in a line drawing: their order of painting, the points they need, and how they are written.

Compiled loops over points and numbers; knows no basket, no colour and no view.
"""
