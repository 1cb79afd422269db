"""What Today asks of the records."""
