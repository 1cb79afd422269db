"""Planned settings: saved, held to target sheets, and judged by class rules."""
