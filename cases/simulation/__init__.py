"""A case as a model, its stages, and what they say."""
