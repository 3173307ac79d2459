"""Rules, methods and courses, and the working a method writes down."""
