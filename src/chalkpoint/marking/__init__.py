"""Marking: what a pupil wrote, judged line by line from the pupil's own previous line."""
