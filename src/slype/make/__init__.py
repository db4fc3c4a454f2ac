"""What is made of a design when someone asks: its plan, quick or settled, its pictures, its papers, its lesson.

Command line, studio, demo and scripts all ask here, so that one question has one answer and one refusal. Knows every
room below and nothing of who asks: no terminal, no page.
"""
