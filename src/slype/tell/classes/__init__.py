"""A class in words: kits, cutting, shopping, dyeing, the day and the money, as plain blocks.

Blocks (headings, lines, facts, tables) know nothing of paper or screen: folder, report and studio set the same ones.
"""
