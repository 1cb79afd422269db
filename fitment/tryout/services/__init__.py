"""Set-ups tried on a car, and the options that were found for them."""
