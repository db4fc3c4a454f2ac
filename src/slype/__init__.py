"""slype: design, measure and teach wicker baskets woven from round reed.

A basket is written down as its spokes, its shape, its bands of weaving and its border. From the
strokes themselves slype works out what will be seen on either face, how long every spoke and weaver
must be cut, how much reed and dye that takes, and how to teach it for either hand.
"""

__version__ = "0.1.0"
