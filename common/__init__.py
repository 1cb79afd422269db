"""What every layer shares: the car's corners, verdicts, units, and how JSON is kept.

Pure Python: nothing here imports Django, numpy or another package of this project.
"""
