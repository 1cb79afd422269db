"""A job's clearance check: its inputs, the run, where it stands, the gate and its pages."""
