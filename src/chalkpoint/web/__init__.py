"""The five places in a browser: routes, pages and events, thin over the rooms below."""
