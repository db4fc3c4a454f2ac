"""What measured baskets teach: which figures a basket has, the model that learns of them, the swatch that would teach
most, and the [gauge] of a design that carries what was learned. Values in, values out; no book is opened here."""
