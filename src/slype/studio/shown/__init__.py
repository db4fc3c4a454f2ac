"""What the studio's page shows, ready to print: lists, choices and classes worded, and the one typed form of it all.

Words and forms only: no request, no worker, no file.
"""
