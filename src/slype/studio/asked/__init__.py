"""What the page may ask: addresses, what each takes, and what it is answered; and the program that listens to them.

Knows: requests, the bench and the workers it asks. Does not know: how anything is reckoned or worded.
"""
