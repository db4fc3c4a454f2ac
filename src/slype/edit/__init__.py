"""A maker's own file changed place by place: comments, order and spelling stay, what must follow follows.

Knows the text and its rules, never what a change does to the basket.
"""
