"""Target sheets and what an order aims at."""
