"""The wheel and tyre as a solid of revolution: sizes, section and boundary."""
