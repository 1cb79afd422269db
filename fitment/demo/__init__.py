"""The demo shop's surveys, wheels, tyres, checks and searches."""
