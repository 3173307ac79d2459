"""Setting: blueprints, fair questions, equal variants, mark schemes, diagnostic sets and practice sheets."""
