"""Parts: ordered where, promised for when, arrived how many; suppliers and their prices."""
