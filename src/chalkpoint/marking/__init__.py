"""Marking: answers read, method marks with follow-through, what wrong answers believe, class reports."""
