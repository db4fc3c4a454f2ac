"""The maker's book: what lies on the shelf, what was made of it, and what that teaches about this maker's hands.

Knows reed, plans and measured baskets; no screen, no terminal, no page. What it learns goes back into a design as a
`[gauge]`, never into the engine behind the maker's back.
"""
