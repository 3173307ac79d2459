"""The whole app in one tab of a browser, with no server: what runs there, and what builds the files."""
