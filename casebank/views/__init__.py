"""Pages of the bank itself: the landing, signing in and out, and what goes wrong, in words."""
