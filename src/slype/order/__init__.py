"""The order of work: every move of the hands, when each point of each reed is laid, and from where it is seen.

Moves as values; the sentences for them are in `tell`.
"""
