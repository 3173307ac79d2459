"""Lessons: parts, the questions in them, what is shown when, and what is said meanwhile.

A lesson becomes a storyboard: shots, each a view shown while its cues are spoken or a pause runs.
Every medium in `publishing` translates that storyboard; nothing here knows a medium, and nothing here
computes a bit: workings do.
"""
