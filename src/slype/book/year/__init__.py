"""A maker's year in the book: classes held, kits cut from stock, what baskets and classes brought, what reed cost.

Knows the book's entries and the class; reckons and words sums of money, and gives no advice on tax.
"""
