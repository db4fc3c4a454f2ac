"""The studio: a page in the browser on the maker's own machine, and the program that answers it.

Answers come from the rooms below; no rule of the trade is kept here.
"""
