"""A class's marks on paper: the teacher's page, each pupil's page, and tables."""
