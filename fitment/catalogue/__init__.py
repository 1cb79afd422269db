"""Wheels and tyres, their pooled measurements and imports."""
