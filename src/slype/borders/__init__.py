"""Borders: rows of moves for the spokes' ends, the table of named ones, and what each end needs.

No basket round them: a count of ends, a spacing and a thickness are all they are told.
"""
