"""The home page: what each role has to do today."""
