"""Pages of an attempt: find, authorise, read the form, one action, show."""
