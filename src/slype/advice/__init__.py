"""Advice: named rules, each with its number, reason, remedy and source; and what other counts would give.

Looks at a basket laid out; changes nothing and draws nothing.
"""
