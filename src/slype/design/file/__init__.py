"""The design file read: TOML in, a design out, every fault named by file, table and key.

Reads only; nothing is laid, measured or written.
"""
