"""Any YAML to a model, or to faults with their places."""
