"""The scene in typst: drawing functions, documents, and the compiler that makes them into PDF.

`rails.typ` draws rails, trays, threads, place values and the ruler; `rows.py` gives it the rows of a scene as
data; `document.py` sets a whole working; `compiling.py` makes the PDF. A document of another room's
(a paper, a mark scheme) writes its own source after `library()` and calls the same functions.
"""
