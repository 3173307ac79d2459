"""Arrays of another library as a carrier of rules: a second opinion beside lanes."""

from typing import Any

import numpy as np

__all__ = ["Array", "array"]


class Array(np.ndarray[Any, np.dtype[Any]]):
    """An array of integers or of truths, one a question, that rules can be handed."""

    def select(self, yes: Any, no: Any) -> Any:
        """Return *yes* where the condition holds and *no* elsewhere."""
        return np.where(self, yes, no).view(Array)


def array(values: Any) -> Array:
    """Return *values* as an array that rules can be handed."""
    return np.asarray(values).view(Array)
