"""The shells: what people see and type."""
