"""The forms that `--json` promises to programs.

One form per answer, stable; no sentences for makers.
"""
