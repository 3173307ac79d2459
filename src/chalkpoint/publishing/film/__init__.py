"""The page that stays, and the film of it: pictures placed once, moved between, drawn and coded."""
