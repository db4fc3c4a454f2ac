"""Classes: what a teacher cuts, buys, dyes, bundles, allows time for and asks, from one class file.

Values in, values out: the class is read in `kit.file`, told in `tell`, printed in `paper`. Nothing here knows the time
of day or touches a file; chance comes from a seed that is handed in.
"""
