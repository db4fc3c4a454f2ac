"""The `slype` command: arguments in, the same use cases as everywhere, reports out.

No rule of the trade is kept here.
"""
