"""Measured corners: versions, sessions of measuring, files, joints and their pages."""
