"""The traits of adding and subtracting, by family."""
