"""Forms of fitment: they turn what people type into numbers with units, and say what is odd."""
