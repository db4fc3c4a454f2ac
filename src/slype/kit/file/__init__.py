"""The class file read: TOML and the CSV files beside it in, a class out, every fault named by file, row and column.

What can be worked is worked: a fault in one row is told and the rest is read on.
"""
