"""Beliefs: faulty rules that pupils hold, each declared once with every place where it acts."""
