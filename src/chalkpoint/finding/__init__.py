"""Finding: traits, the atlas, counts, draws, the simplest, contradictions, and the brute-force census."""
