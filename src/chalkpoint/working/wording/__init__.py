"""The sentences and rows of each step: one module an operation, each sentence once."""
