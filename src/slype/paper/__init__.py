"""What is printed: the pattern sheet, its pages and their setting.

Knows pages and type; words come from `tell`, pictures from `draw`.
"""
