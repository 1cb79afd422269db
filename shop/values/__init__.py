"""Plain values of the shop: vehicle numbers, amounts of money, kinds of photograph."""
