"""Papers to print and to mark: pages with boxes, solutions, mark schemes, the key, sheets, and the folder of them."""
