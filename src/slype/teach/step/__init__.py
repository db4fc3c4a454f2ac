"""What a step for a beginner is, what every step draws on of a basket's plan, and the words of the trade it explains.

Of kinds of work it knows one move of a border, one join and a row worked backwards, in words that the steps of an edge,
of a board's foot, of a start, of weaving and of trimming share; all else that is told of a base, a band, a border is
said by the modules of `teach`.
"""
