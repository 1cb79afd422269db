"""Forms turn what people type into values; templates lay them out."""
