"""What a step for a beginner is, what every step draws on of a basket's plan, and the words of the trade it explains.

Knows of no kind of work: what is told of a base, a band, a border is said by the modules of `teach`.
"""
