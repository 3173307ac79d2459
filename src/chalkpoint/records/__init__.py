"""The database: what is kept between runs. Nothing but this room knows SQL."""
