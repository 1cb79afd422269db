"""The spec sheet on paper."""
