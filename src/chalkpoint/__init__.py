"""Binary floating-point arithmetic by hand: worked, found, set, marked and taught."""
