"""What every page shares: settings from the environment, middleware, fields, errors."""
