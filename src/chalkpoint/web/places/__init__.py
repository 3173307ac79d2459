"""A module a place: what its pages are asked, and what they show."""
