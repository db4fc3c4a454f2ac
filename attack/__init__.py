"""An attack on slype that anyone can run: `python3 run.py attack [minutes]`.

Every trial comes from a seed, runs in a process of its own with limits of time and memory, and is judged by what slype
promises (docs/promises.md). Nothing here is part of slype; it needs the tools of the tests.
"""
