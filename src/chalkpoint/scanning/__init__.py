"""Reading handwritten papers from a scanner or a phone."""
