"""Verbs for those who write scripts, behind `import slype`: a design in, and what the commands answer as values out.

It knows every use-case from reading a design to its solid, and no terminal, no page and no file but those it is given.
"""
