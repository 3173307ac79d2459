"""Finding: traits, the atlas, counts, draws, the simplest, contradictions, and brute force."""
