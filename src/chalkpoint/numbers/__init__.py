"""What bits mean: bit strings, formats, exact values, rounding, and the carriers rules run on.

Nothing here knows an operation, a step or a sentence, and nothing here uses a float.
"""
