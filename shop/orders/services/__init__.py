"""What other capabilities may ask of a work order: its states, gates, rules and log."""
